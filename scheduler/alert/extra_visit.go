package alert

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// extraVisits: a trade comes back, more than 5 working days after it was last on the
// site, for no more than a day's work that has not begun, and what holds the visit
// there is something it waits for rather than its own crews or a person's word.
// Always a note.
func (v *view) extraVisits() {
	byTrade := map[scheduler.ID][]int{}
	for k, s := range v.planned {
		if s == nil || !s.Finish.After(s.Start) {
			continue
		}
		for _, t := range s.Trades {
			byTrade[t] = append(byTrade[t], k)
		}
	}
	for trade, steps := range byTrade {
		slices.SortFunc(steps, func(a, b int) int {
			return cmp.Or(v.planned[a].Start.Compare(v.planned[b].Start), cmp.Compare(a, b))
		})
		var left time.Time // when the visit before ended
		for len(steps) > 0 {
			n, until := v.visit(steps)
			if !left.IsZero() {
				v.extraVisit(trade, steps[:n], left)
			}
			left, steps = until, steps[n:]
		}
	}
}

// visit is how many of the steps, in order of start, make the first visit, and when
// it ends.
func (v *view) visit(steps []int) (int, time.Time) {
	until := v.planned[steps[0]].Finish
	for n, k := range steps[1:] {
		s := v.planned[k]
		if v.between(until, s.Start, false) > gapDays*v.day {
			return n + 1, until
		}
		if s.Finish.After(until) {
			until = s.Finish
		}
	}
	return len(steps), until
}

func (v *view) extraVisit(trade scheduler.ID, steps []int, left time.Time) {
	var work int64
	var ids, places []scheduler.ID
	var words []string
	for _, k := range steps {
		s := v.planned[k]
		if started(s) {
			return
		}
		work += s.Work
		ids = append(ids, s.ID)
		places = append(places, s.Places...)
		words = append(words, v.called(s.ID))
	}
	first := v.planned[steps[0]]
	because, ok := v.waitsFor(first)
	if !ok || work > v.day {
		return
	}
	v.add(scheduler.Alert{
		Key:  key(scheduler.ExtraVisit, append([]scheduler.ID{trade}, ids...)...),
		Kind: scheduler.ExtraVisit, Severity: scheduler.Note,
		Steps: ids, Places: unique(places), Trades: []scheduler.ID{trade}, Days: []worktime.Date{v.date(first.Start)},
		Sentence: fmt.Sprintf("%s comes back on %s for %s only (%s), %s after it left, because that waits for %s.",
			v.trade(trade), v.onTime(first.Start), v.amount(work), some(words, 3),
			v.amount(v.between(left, first.Start, false)), because),
		Remedy: fmt.Sprintf("See whether %s can come earlier, or whether this work can go with another visit.", because),
	})
}

// waitsFor names the step that holds another where it is planned; false where that
// is a limit, a pin or a day given.
func (v *view) waitsFor(s *scheduler.PlannedStep) (string, bool) {
	because := ""
	for _, d := range s.Drivers {
		switch d.Kind {
		case scheduler.ByLimit, scheduler.ByPin, scheduler.ByFact:
			return "", false
		case scheduler.ByWait, scheduler.ByExpected, scheduler.ByHeld:
			if because == "" && d.Step != "" && d.Step != s.ID {
				because = v.called(d.Step)
			}
		}
	}
	return because, because != ""
}
