package planner

import (
	"fmt"

	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// lowerBound is an instant before which no plan can finish, with why.
type lowerBound struct {
	at  worktime.Instant
	why string
}

// lowerBound is the later of the longest chain of waits and, for each limit, the
// time its whole load takes when nothing ever stops it.
func (s *solution) lowerBound(early *network.Times) lowerBound {
	best := lowerBound{network.LastFinish(early), "the longest chain of waits"}
	load := make([]int64, len(s.problem.Limits))
	first := make([]worktime.Instant, len(s.problem.Limits))
	calendar := make([]int32, len(s.problem.Limits))
	for l := range first {
		first[l], calendar[l] = worktime.Never, -1
	}
	for u := range s.problem.Uses {
		use := &s.problem.Uses[u]
		if use.From != use.To {
			continue
		}
		i, l := use.From, use.Limit
		load[l] += int64(use.Amount) * s.g.Rest[i]
		first[l] = min(first[l], early.Start[i])
		switch {
		case calendar[l] == -1:
			calendar[l] = s.g.Cal[i]
		case calendar[l] != s.g.Cal[i]:
			calendar[l] = -2 // work on different calendars does not add up
		}
	}
	for l, work := range load {
		if calendar[l] < 0 {
			continue
		}
		c := s.g.Calendars[calendar[l]]
		size := int64(s.problem.Limits[l].Size)
		if end := c.First(c.Work(first[l]) + (work+size-1)/size); end > best.at {
			best = lowerBound{end, fmt.Sprintf("all the work of %s, one after the other", s.limitText(&s.problem.Limits[l]))}
		}
	}
	return best
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
