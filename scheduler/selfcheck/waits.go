package selfcheck

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/worktime"
)

func (s *subject) waitsThat(keep func(*scheduler.Wait) bool) []Item {
	var items []Item
	for k := range s.net.Waits {
		if w := &s.net.Waits[k]; keep(w) {
			items = append(items, s.waitItem(w))
		}
	}
	return items
}

func (s *subject) waitsWithoutReason() Check {
	return none(Check{
		Name: "waits without a reason", Formula: "waits for which none of cure, buried, access, exposure or sense is given",
		Source: commonPractice, Items: s.waitsThat(func(w *scheduler.Wait) bool { return w.Reason == "" }),
	})
}

func (s *subject) leads() Check {
	return none(Check{
		Name: "leads", Formula: "waits with a least time below zero",
		Source: pamphlet + ", check 2 (from memory); " + federalWorks + ", 3.3.15 (from memory)",
		Items:  s.waitsThat(func(w *scheduler.Wait) bool { return w.Least.Amount < 0 }),
	})
}

// waitsWithTime is only shown: on a house the cures are real.
func (s *subject) waitsWithTime() Check {
	items := s.waitsThat(func(w *scheduler.Wait) bool { return w.Least.Amount > 0 })
	return Check{
		Name: "waits with a time", Formula: "waits with a least time ÷ waits",
		Figure: share(len(items), len(s.net.Waits)), Limit: "none here; 5 % in the source, which honest cures exceed on a house",
		Result: Info, Source: pamphlet + ", check 3 (from memory)", Items: items,
	}
}

func (s *subject) otherEnds() Check {
	items := s.waitsThat(func(w *scheduler.Wait) bool {
		return w.From.End != scheduler.Finish || w.To.End != scheduler.Start
	})
	plain := len(s.net.Waits) - len(items)
	return Check{
		Name: "waits from a finish to a start", Formula: "waits from a finish to a start ÷ waits",
		Figure: share(plain, len(s.net.Waits)), Limit: "none here; at least 90 % in the source, which overlapping trades miss",
		Result: Info, Source: pamphlet + ", check 4 (from memory)", Items: items,
	}
}

// longWaits lists what may be work in disguise. Order stages and notices are steps
// of their own here and never waits.
func (s *subject) longWaits() Check {
	const most = 5 // working days, or that many and a weekend of real time
	return listed(Check{
		Name: "long waits", Formula: "waits of more than 5 working days (7 elapsed days) whose reason is not cure",
		Source: commonPractice,
		Items: s.waitsThat(func(w *scheduler.Wait) bool {
			limit := most * s.day
			if w.Least.Elapsed() {
				limit = s.job.Minutes(worktime.Span{Amount: 7, Unit: worktime.ElapsedDays})
			}
			return w.Reason != scheduler.Cure && s.job.Minutes(w.Least) > limit
		}),
	})
}

// idleWaivers lists waivers that lift nothing, because the wait has gone.
func (s *subject) idleWaivers() Check {
	used := map[[2]scheduler.Point]bool{}
	for k := range s.net.Waits {
		if !s.net.Waived[k] {
			continue
		}
		if v, ok := expand.WaiverOf(s.net, k); ok {
			used[[2]scheduler.Point{v.From, v.To}] = true
		}
	}
	var items []Item
	for _, v := range s.job.Waivers {
		if !used[[2]scheduler.Point{v.From, v.To}] {
			items = append(items, Item{Steps: []scheduler.ID{v.From.Step, v.To.Step}, Text: v.To.String() + " after " + v.From.String() + " is waived, and no such wait is left"})
		}
	}
	return listed(Check{
		Name: "waivers that lift nothing", Formula: "waivers between whose points no wait lies",
		Source: commonPractice, Items: items,
	})
}
