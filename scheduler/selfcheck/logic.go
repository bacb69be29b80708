package selfcheck

import "gaugerod/scheduler"

// loose lists the open steps with nothing before or nothing after them. An order's
// first stage with nothing before it counts as the others do.
func (s *subject) loose() []Item {
	var items []Item
	for _, k := range s.open {
		switch before, after := len(s.into[k]) > 0, len(s.out[k]) > 0; {
		case !before && !after:
			items = append(items, s.item(k, "has nothing before or after it"))
		case !before:
			items = append(items, s.item(k, "has nothing before it"))
		case !after:
			items = append(items, s.item(k, "has nothing after it"))
		}
	}
	return items
}

func (s *subject) looseShare() Check {
	items := s.loose()
	return Check{
		Name:    "share of loose ends",
		Formula: "steps not done that lack a step before or a step after ÷ steps not done",
		Figure:  share(len(items), len(s.open)), Limit: "at most 5 %",
		Result: atMostFive(len(items), len(s.open)), Source: pamphlet + ", check 1", Items: items,
	}
}

// looseEnds allows one step without anything before it and the last one.
func (s *subject) looseEnds() Check {
	first, last := -1, -1
	for _, k := range s.open {
		p := s.planned[k]
		if first < 0 && len(s.into[k]) == 0 {
			first = k
		}
		if last < 0 || !p.Finish.Before(s.planned[last].Finish) {
			last = k
		}
	}
	var items []Item
	for _, k := range s.open {
		if len(s.into[k]) == 0 && k != first {
			items = append(items, s.item(k, "has nothing before it"))
		}
		if len(s.out[k]) == 0 && k != last {
			items = append(items, s.item(k, "has nothing after it"))
		}
	}
	return none(Check{
		Name:    "loose ends",
		Formula: "steps not done with nothing before, but the first, and with nothing after, but the last",
		Source:  federalWorks + ", 3.3.10 (from memory)", Items: items,
	})
}

// oneEnded lists steps that hang by one end: waits lead in, but none to the start,
// or out, but none from the finish.
func (s *subject) oneEnded() Check {
	var items []Item
	for _, k := range s.open {
		start, finish := false, false
		for _, w := range s.into[k] {
			start = start || s.net.Waits[w].To.End == scheduler.Start
		}
		for _, w := range s.out[k] {
			finish = finish || s.net.Waits[w].From.End == scheduler.Finish
		}
		if len(s.into[k]) > 0 && !start {
			items = append(items, s.item(k, "has waits to its finish alone: nothing holds its start"))
		}
		if len(s.out[k]) > 0 && !finish {
			items = append(items, s.item(k, "has waits from its start alone: nothing waits for its finish"))
		}
	}
	return listed(Check{
		Name: "steps that hang by one end", Formula: "steps not done with waits into the finish alone, or out of the start alone",
		Source: guide, Items: items,
	})
}

// joins lists steps in which four or more chains meet: the joint chance of being on
// time is the product of all.
func (s *subject) joins() Check {
	const many = 4
	var items []Item
	for _, k := range s.open {
		before := map[scheduler.ID]bool{}
		for _, w := range s.into[k] {
			from := s.net.Waits[w].From.Step
			if i, ok := s.net.Find(from); ok && s.planned[i] != nil && s.planned[i].State != scheduler.Complete {
				before[from] = true
			}
		}
		if len(before) >= many {
			items = append(items, s.item(k, "waits for %d steps that are not done", len(before)))
		}
	}
	return listed(Check{
		Name: "joins of many chains", Formula: "steps that wait for 4 or more steps not done",
		Source: guide + "; the number 4: " + commonPractice, Items: items,
	})
}
