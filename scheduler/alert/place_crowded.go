package alert

import (
	"fmt"
	"slices"
	"strconv"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// placesCrowded: by what was recorded, more steps are under way in a place than it
// has room for, or another beside one that needs the place to itself: act. As planned
// within 20 working days, two trades are in one place (the innermost kind, with no
// places in it) on the same day: note, once for each place and pair of trades. The
// plan itself never puts more into a place than it has room for.
func (v *view) placesCrowded() {
	v.crowdedNow()
	v.tradesOnOneDay()
}

func (v *view) crowdedNow() {
	in := map[scheduler.ID][]int{} // steps under way, by place, those in inner places too
	for k, s := range v.planned {
		if s == nil || s.State != scheduler.Underway || s.Work == 0 {
			continue
		}
		for _, p := range v.around(s.Places) {
			in[p] = append(in[p], k)
		}
	}
	for p, ks := range in {
		room, alone := 0, ""
		if place := v.places[p]; place != nil {
			room = place.Room
		}
		for _, k := range ks {
			if v.net.Steps[k].Alone && slices.Contains(v.planned[k].Places, p) {
				alone = v.called(v.planned[k].ID)
			}
		}
		var why string
		switch {
		case alone != "" && len(ks) > 1:
			why = alone + " needs it to itself"
		case room > 0 && len(ks) > room:
			why = "it has room for " + strconv.Itoa(room)
		default:
			continue
		}
		v.add(v.crowd(p, ks, why))
	}
}

func (v *view) crowd(p scheduler.ID, ks []int, why string) scheduler.Alert {
	var trades []scheduler.ID
	ids, words := make([]scheduler.ID, 0, len(ks)), make([]string, 0, len(ks))
	for _, k := range ks {
		ids = append(ids, v.planned[k].ID)
		trades = append(trades, v.planned[k].Trades...)
		words = append(words, v.called(v.planned[k].ID))
	}
	return scheduler.Alert{
		Key:  key(scheduler.PlaceCrowded, append([]scheduler.ID{p, "now"}, unique(ids)...)...),
		Kind: scheduler.PlaceCrowded, Severity: scheduler.Act,
		Steps: unique(ids), Places: []scheduler.ID{p}, Trades: unique(trades), Days: []worktime.Date{v.today},
		Sentence: fmt.Sprintf("%s are all recorded as under way in %s, and %s.", some(words, 4), v.place(p), why),
		Remedy:   "Record what was stopped or finished, or agree who leaves the place first.",
	}
}

// around is the places given and all those around them, each once.
func (v *view) around(places []scheduler.ID) []scheduler.ID {
	var out []scheduler.ID
	for _, p := range places {
		for p != "" && !slices.Contains(out, p) {
			out = append(out, p)
			place := v.places[p]
			if place == nil {
				break
			}
			p = place.Within
		}
	}
	return out
}

func (v *view) tradesOnOneDay() {
	type pair struct{ place, a, b scheduler.ID }
	type room struct {
		place scheduler.ID
		day   worktime.Date
	}
	outer := map[scheduler.ID]bool{}
	for k := range v.job.Places {
		outer[v.job.Places[k].Within] = true
	}
	rooms := map[room][]int{}
	v.eachDayAhead(func(k int, d worktime.Date) {
		for _, p := range v.planned[k].Places {
			if !outer[p] {
				rooms[room{p, d}] = append(rooms[room{p, d}], k)
			}
		}
	})
	days, steps := map[pair][]worktime.Date{}, map[pair][]scheduler.ID{}
	for at, ks := range rooms {
		for i, k := range ks {
			for _, l := range ks[i+1:] {
				for _, p := range strangers(v.planned[k].Trades, v.planned[l].Trades) {
					q := pair{at.place, p[0], p[1]}
					days[q] = append(days[q], at.day)
					steps[q] = append(steps[q], v.planned[k].ID, v.planned[l].ID)
				}
			}
		}
	}
	for p, ds := range days {
		slices.Sort(ds)
		ds = slices.Compact(ds)
		v.add(scheduler.Alert{
			Key:  key(scheduler.PlaceCrowded, p.place, p.a, p.b),
			Kind: scheduler.PlaceCrowded, Severity: scheduler.Note,
			Steps: unique(steps[p]), Places: []scheduler.ID{p.place}, Trades: []scheduler.ID{p.a, p.b}, Days: ds,
			Sentence: fmt.Sprintf("%s and %s are both in %s on %s.", v.trade(p.a), v.trade(p.b), v.place(p.place), v.someDays(ds)),
			Remedy:   "Agree with both who works where and when, or let one finish first.",
		})
	}
}

// strangers is each pair of different trades, one of each list; none where the
// lists share a trade, for then it is one gang's own work.
func strangers(a, b []scheduler.ID) [][2]scheduler.ID {
	var out [][2]scheduler.ID
	for _, s := range a {
		if slices.Contains(b, s) {
			return nil
		}
		for _, t := range b {
			out = append(out, [2]scheduler.ID{min(s, t), max(s, t)})
		}
	}
	return out
}
