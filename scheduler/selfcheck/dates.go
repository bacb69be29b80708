package selfcheck

import (
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func (s *subject) pinnedDays() Check {
	var items []Item
	for _, p := range s.job.Pins {
		k, ok := s.net.Find(p.Step)
		if ok && p.On != nil && s.planned[k] != nil && s.planned[k].State != scheduler.Complete {
			items = append(items, s.item(k, "is pinned to %s", p.On))
		}
	}
	return Check{
		Name: "pinned days", Formula: "steps not done that are pinned to a day ÷ steps not done",
		Figure: share(len(items), len(s.open)), Limit: "at most 5 %", Result: atMostFive(len(items), len(s.open)),
		Source: pamphlet + ", check 5 (from memory)", Items: items,
	}
}

// impossibleDates: what is not done lies after as of, what is recorded before it.
func (s *subject) impossibleDates() Check {
	var items []Item
	for _, k := range s.open {
		p := s.planned[k]
		if p.State != scheduler.Underway && p.Start.Before(s.plan.AsOf) || p.Finish.Before(s.plan.AsOf) {
			items = append(items, s.item(k, "is not done and is planned before as of"))
		}
	}
	for i := range s.job.Facts {
		f := &s.job.Facts[i]
		k, ok := s.net.Find(f.Step)
		if !ok {
			continue
		}
		for _, w := range [...]*worktime.When{f.Started, f.Done, f.Released, f.Refused} {
			if w != nil && w.Day > s.today {
				items = append(items, s.item(k, "is recorded for %s, after as of", w))
			}
		}
		if before(f.Done, f.Started) {
			items = append(items, s.item(k, "is recorded as done before it was started"))
		}
	}
	return none(Check{
		Name: "impossible dates", Formula: "steps not done planned before as of + facts dated after as of + steps done before they were started",
		Source: pamphlet + ", check 9 (from memory)", Items: items,
	})
}

// before says whether a comes before b for certain.
func before(a, b *worktime.When) bool {
	if a == nil || b == nil || a.Day != b.Day {
		return a != nil && b != nil && a.Day < b.Day
	}
	return a.Time != nil && b.Time != nil && *a.Time < *b.Time
}

// promisesMissed goes as far as facts allow: days that were given (due, booked,
// expected) and have passed, and whether what was promised for them was done. No
// plan has to have been issued for it.
func (s *subject) promisesMissed() Check {
	promised := 0
	var items []Item
	promise := func(step scheduler.ID, by worktime.Date, what string) {
		k, ok := s.net.Find(step)
		if !ok || s.planned[k] == nil || by >= s.today {
			return
		}
		promised++
		p := s.planned[k]
		if came := worktime.FromTime(p.Finish.Add(-1)).Date(s.plan.AsOf.Location()); p.State != scheduler.Complete || came > by {
			items = append(items, s.item(k, "was %s for %s and did not come by then", what, by))
		}
	}
	for k := range s.job.Facts {
		f := &s.job.Facts[k]
		if f.Booked != nil {
			promise(f.Step, f.Booked.Day, "booked")
		}
		if f.Expected != nil {
			promise(f.Step, f.Expected.Day, "expected")
		}
	}
	for _, d := range s.job.Dues {
		promise(d.Step, d.On, "due")
	}
	return Check{
		Name: "promises missed", Formula: "days given as due, booked or expected that have passed without the step being done by then ÷ such days that have passed",
		Figure: share(len(items), promised), Limit: "at most 5 %", Result: atMostFive(len(items), promised),
		Source: pamphlet + ", check 11 (from memory), applied to days given, not to a baseline", Items: items,
	}
}

// contradictions lists the statements that the plan could not keep together.
func (s *subject) contradictions() Check {
	items := make([]Item, 0, len(s.plan.Contradictions))
	for _, c := range s.plan.Contradictions {
		texts := make([]string, 0, len(c.Statements))
		var steps []scheduler.ID
		for _, st := range c.Statements {
			texts = append(texts, st.Text)
			steps = append(steps, st.Steps...)
		}
		items = append(items, Item{Steps: steps, Text: strings.Join(texts, "; ")})
	}
	return none(Check{
		Name: "contradictions", Formula: "smallest sets of statements that cannot all hold",
		Source: commonPractice, Items: items,
	})
}
