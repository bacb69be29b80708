package planner

import (
	"fmt"

	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// lowerBound is an instant before which no plan can finish, with why.
type lowerBound struct {
	at       worktime.Instant
	why      string
	punctual bool // only plans that miss due days as little cannot finish before
}

// boundByWaits bounds the plan by the longest chain of waits, and its lateness by what
// waits alone make unavoidable.
func (s *solution) boundByWaits(early *network.Times) {
	s.bound = lowerBound{at: network.LastFinish(early), why: s.chainText(early)}
	s.lateByWaits = s.problem.Schedule(*early).Late
	s.leastLate = s.lateByWaits
}

// boundByLoad raises the bound to what the work of each limit takes with what comes
// before and after it.
func (s *solution) boundByLoad(early *network.Times) {
	guess := worktime.Ever
	if s.was != nil {
		guess = s.was.bound
	}
	if load, ok := levelling.BoundByLoad(s.problem, early, guess); ok {
		s.bound = lowerBound{at: load.Bound, why: s.loadText(&load)}
	}
}

// loadText says in words which work bounds the finish.
func (s *solution) loadText(l *levelling.Load) string {
	limit, work := &s.problem.Limits[l.Limit], l.Work
	if limit.Kind == levelling.Alone {
		work /= int64(limit.Size)
	}
	text := fmt.Sprintf("the load of %s: %s, %s of work that cannot start before %s", s.limitText(limit), count(l.Steps, "step"),
		s.workingTime(work), s.day(s.g.Calendars[network.Site].NextOpen(l.From)))
	if limit.Size > 1 && limit.Kind != levelling.Alone {
		text += fmt.Sprintf(", for %d at a time", limit.Size)
	}
	return text + ", and what must follow it"
}

// chainText names the longest chain of waits by its ends.
func (s *solution) chainText(early *network.Times) string {
	g, last := s.problem.Graph, 0
	for i := range early.Finish {
		if early.Finish[i] > early.Finish[last] || early.Finish[i] == early.Finish[last] && g.Progress[last] == network.Done {
			last = i
		}
	}
	if len(early.Finish) == 0 || g.Progress[last] == network.Done {
		return "what is recorded"
	}
	seen, first := map[int]bool{last: true}, last
	for {
		next := -1
		for _, k := range g.Holding(first, early) {
			if j := int(g.Arcs[k].From); !seen[j] && g.Progress[j] != network.Done {
				next = j
				break
			}
		}
		if next < 0 {
			break
		}
		seen[next], first = true, next
	}
	if first == last {
		return fmt.Sprintf("the length of %s alone", quote(s.name(int32(last))))
	}
	return fmt.Sprintf("the longest chain of waits, over %s from %s to %s", count(len(seen), "step"), quote(s.name(int32(first))), quote(s.name(int32(last))))
}

// limitText names a limit in words.
func (s *solution) limitText(l *levelling.Limit) string {
	switch l.Kind {
	case levelling.Crews:
		return s.tradeTitle(l.ID)
	case levelling.Gear:
		return s.gearTitle(l.ID)
	case levelling.Alone:
		if o := s.occupation(l.ID); o != nil {
			return o.Title
		}
	}
	return s.placeTitle(l.ID)
}
