package selfcheck

import "gaugerod/scheduler"

// longTasks leaves out orders' stages, hold points, and work in real time, which is
// cure and drying.
func (s *subject) longTasks() Check {
	const most = 20 // working days
	var items []Item
	tasks := 0
	for _, k := range s.open {
		p := s.planned[k]
		if p.Kind != scheduler.TaskStep {
			continue
		}
		tasks++
		if !p.Elapsed && p.Work > most*s.day {
			items = append(items, s.item(k, "takes %d working days", p.Work/s.day))
		}
	}
	return Check{
		Name: "long tasks", Formula: "tasks not done of more than 20 working days ÷ tasks not done",
		Figure: share(len(items), tasks), Limit: "at most 5 %", Result: atMostFive(len(items), tasks),
		Source: pamphlet + ", check 8 (from memory), its 44 working days lowered to the 20 of " + federalWorks + ", 3.3.2 (from memory)",
		Items:  items,
	}
}

func (s *subject) noTrade() Check {
	var items []Item
	for _, k := range s.open {
		if p := s.planned[k]; p.Kind == scheduler.TaskStep && p.Work >= s.day && len(p.Trades) == 0 {
			items = append(items, s.item(k, "is nobody's work"))
		}
	}
	return listed(Check{
		Name: "tasks without a trade", Formula: "tasks not done of a day or more with no trade",
		Source: pamphlet + ", check 10 (from memory)", Items: items,
	})
}
