package alert

import (
	"fmt"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// tradesInTwoPlaces: by what was recorded, a trade is at work now in more steps
// than it has crews for, in places that are not one within the other: act. As
// planned within 20 working days, a trade has on one day more places than crews, two
// of them apart (nothing but the top of the tree around both): note. The plan itself
// never takes more crews than there are.
func (v *view) tradesInTwoPlaces() {
	v.overstretchedNow()
	v.movesBetweenPlaces()
}

func (v *view) overstretchedNow() {
	at := map[scheduler.ID][]int{} // steps under way, by trade
	for k, s := range v.planned {
		if s != nil && s.State == scheduler.Underway {
			for _, t := range s.Trades {
				at[t] = append(at[t], k)
			}
		}
	}
	for t, steps := range at {
		crews, places, ids := 0, []scheduler.ID{}, make([]scheduler.ID, 0, len(steps))
		for _, k := range steps {
			crews += max(v.net.Steps[k].Crews, 1)
			places = append(places, v.planned[k].Places...)
			ids = append(ids, v.planned[k].ID)
		}
		places = v.outermost(places)
		if has := v.crews(t); crews > has && len(places) > 1 {
			v.add(scheduler.Alert{
				Key:  key(scheduler.TradeInTwoPlaces, append([]scheduler.ID{t, "now"}, unique(ids)...)...),
				Kind: scheduler.TradeInTwoPlaces, Severity: scheduler.Act,
				Steps: unique(ids), Places: places, Trades: []scheduler.ID{t}, Days: []worktime.Date{v.today},
				Sentence: fmt.Sprintf("%s is recorded at work in %s at once and has %s.",
					v.trade(t), list(v.placeWords(places)), count(int64(has), "crew")),
				Remedy: "Record what was stopped or finished, or ask the firm for another crew.",
			})
		}
	}
}

func (v *view) crews(trade scheduler.ID) int {
	if t := v.trades[trade]; t != nil {
		return max(t.Crews, 1)
	}
	return 1
}

// eachDayAhead calls for each step with a trade and some length, and each day from
// as of up to 20 working days ahead on which it is planned, in that order.
func (v *view) eachDayAhead(call func(step int, d worktime.Date)) {
	last := v.lastDate(v.ahead(lookAhead))
	works := map[worktime.Date]bool{}
	for d := v.today; d <= last; d++ {
		works[d] = v.worksOn(d)
	}
	after := (last + 1).At(0, v.zone).Time(v.zone)
	for k, s := range v.planned {
		if s == nil || !s.Start.Before(after) || done(s) || len(s.Trades) == 0 || !s.Finish.After(s.Start) {
			continue
		}
		for d := max(v.date(s.Start), v.today); d <= min(v.lastDate(s.Finish), last); d++ {
			if works[d] {
				call(k, d)
			}
		}
	}
}

// worksOn says whether the site works on a day.
func (v *view) worksOn(d worktime.Date) bool {
	return v.site.Work(d.At(0, v.zone)) < v.site.Work((d+1).At(0, v.zone))
}

func (v *view) firstPlace(step int) scheduler.ID {
	if p := v.planned[step].Places; len(p) > 0 {
		return p[0]
	}
	return ""
}

// apart says whether two places have nothing but the top of the tree around both.
func (v *view) apart(a, b scheduler.ID) bool {
	if v.within(a, b) || v.within(b, a) {
		return false
	}
	for p := v.places[a]; p != nil && p.Within != ""; p = v.places[p.Within] {
		if top := v.places[p.Within]; top != nil && top.Within != "" && v.within(b, p.Within) {
			return false
		}
	}
	return true
}

// outermost drops the places that lie in others of the list.
func (v *view) outermost(places []scheduler.ID) []scheduler.ID {
	places = unique(places)
	var out []scheduler.ID
	for _, p := range places {
		inner := slices.ContainsFunc(places, func(q scheduler.ID) bool { return p != q && v.within(p, q) })
		if !inner {
			out = append(out, p)
		}
	}
	return out
}

func (v *view) placeWords(ids []scheduler.ID) []string {
	words := make([]string, len(ids))
	for k, id := range ids {
		words[k] = v.place(id)
	}
	return words
}
