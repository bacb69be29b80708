package alert

import (
	"cmp"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// moves is the days ahead on which a trade is in two places that lie apart. A large job
// has tens of thousands of such pairs of places, so steps and places go by numbers, in
// the order of their names.
type moves struct {
	v      *view
	places []scheduler.ID // those of the days ahead
	steps  []scheduler.ID
	apart  map[[2]int32]bool // by places
}

// stay is a step of a trade in a place on a day.
type stay struct {
	day         worktime.Date
	place, step int32
}

// movesBetweenPlaces finds, by trade and pair of places, the days with both.
func (v *view) movesBetweenPlaces() {
	m := &moves{v: v, apart: map[[2]int32]bool{}}
	type visit struct {
		step int
		day  worktime.Date
	}
	var visits []visit
	v.eachDayAhead(func(k int, d worktime.Date) {
		visits = append(visits, visit{k, d})
		m.steps = append(m.steps, v.planned[k].ID)
		m.places = append(m.places, v.firstPlace(k))
	})
	m.steps, m.places = unique(m.steps), unique(m.places)
	byTrade := map[scheduler.ID][]stay{}
	for _, at := range visits {
		s := v.planned[at.step]
		step, _ := slices.BinarySearch(m.steps, s.ID)
		place, _ := slices.BinarySearch(m.places, v.firstPlace(at.step))
		for _, t := range s.Trades {
			byTrade[t] = append(byTrade[t], stay{at.day, int32(place), int32(step)})
		}
	}
	for t, stays := range byTrade {
		m.of(t, stays)
	}
}

// meeting is two places with the days on which a trade is in both, and its steps there.
type meeting struct {
	a, b  int32
	days  []worktime.Date
	steps []int32
}

// of tells of one trade.
func (m *moves) of(trade scheduler.ID, stays []stay) {
	slices.SortFunc(stays, func(x, y stay) int {
		return cmp.Or(cmp.Compare(x.day, y.day), cmp.Compare(x.place, y.place), cmp.Compare(x.step, y.step))
	})
	var list []meeting
	at := map[[2]int32]int{} // of list
	for len(stays) > 0 {
		n := runOf(stays, func(s stay) worktime.Date { return s.day })
		today := stays[:n]
		stays = stays[n:]
		if n < 2 || n <= m.v.crews(trade) {
			continue
		}
		var here [][]stay // by place
		for len(today) > 0 {
			n := runOf(today, func(s stay) int32 { return s.place })
			if m.places[today[0].place] != "" {
				here = append(here, today[:n])
			}
			today = today[n:]
		}
		for k, as := range here {
			for _, bs := range here[k+1:] {
				pair := [2]int32{as[0].place, bs[0].place}
				if !m.areApart(pair) {
					continue
				}
				q, known := at[pair]
				if !known {
					q = len(list)
					at[pair] = q
					list = append(list, meeting{a: pair[0], b: pair[1]})
				}
				list[q].add(as, bs)
			}
		}
	}
	for k := range list {
		m.tell(trade, &list[k])
	}
}

// runOf is how many stays at the beginning are alike.
func runOf[T comparable](stays []stay, what func(stay) T) int {
	n := 1
	for n < len(stays) && what(stays[n]) == what(stays[0]) {
		n++
	}
	return n
}

func (m *meeting) add(as, bs []stay) {
	m.days = append(m.days, as[0].day)
	for _, stays := range [2][]stay{as, bs} {
		for _, s := range stays {
			m.steps = append(m.steps, s.step)
		}
	}
}

func (m *moves) areApart(pair [2]int32) bool {
	is, known := m.apart[pair]
	if !known {
		is = m.v.apart(m.places[pair[0]], m.places[pair[1]])
		m.apart[pair] = is
	}
	return is
}

func (m *moves) tell(trade scheduler.ID, at *meeting) {
	v, a, b := m.v, m.places[at.a], m.places[at.b]
	slices.Sort(at.steps)
	at.steps = slices.Compact(at.steps)
	steps := make([]scheduler.ID, len(at.steps))
	for k, s := range at.steps {
		steps[k] = m.steps[s]
	}
	v.add(scheduler.Alert{
		Key:  key(scheduler.TradeInTwoPlaces, trade, a, b),
		Kind: scheduler.TradeInTwoPlaces, Severity: scheduler.Note,
		Steps: steps, Places: []scheduler.ID{a, b}, Trades: []scheduler.ID{trade}, Days: at.days,
		Sentence: v.trade(trade) + " is in " + v.place(a) + " and in " + v.place(b) + " on " + v.someDays(at.days) + ".",
		Remedy:   "Tell the firm, so that it brings what both places need, or finish one place first.",
	})
}
