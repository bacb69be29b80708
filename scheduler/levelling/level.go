package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Effort is how much search a levelling may do, counted in schedules made, so that
// the same input gives the same plan on every machine.
type Effort struct {
	Schedules int         // at most, forward and backward ones together
	Raises    int         // schedules begun anew to keep most times, for each
	LateEnds  int64       // dead ends that the search for fewer minutes past due days may meet
	DeadEnds  int64       // dead ends that the search for an earlier finish may meet
	VisitEnds int64       // dead ends that the search for fewer visits may meet, each try counting for one
	Chains    int         // ways to hand crews, places and gear on that are compared for their slack
	Stop      func() bool // asked between schedules whether to end; nil: never
}

// DefaultEffort suits the number of steps: some dozens of schedules and a search for
// a proof for a house, one schedule for a network of a hundred thousand steps.
func DefaultEffort(steps int) Effort {
	switch {
	case steps <= 500:
		return Effort{Schedules: 80, Raises: 400, LateEnds: 2000, DeadEnds: 2000, VisitEnds: 200, Chains: 24}
	case steps <= 5_000:
		ends := int64(250_000 / steps) // each takes the longer the more steps there are
		return Effort{Schedules: 16, Raises: 60, LateEnds: ends, DeadEnds: ends, VisitEnds: 8, Chains: 8}
	}
	return Effort{Schedules: 1, Raises: 4}
}

// Level is the best schedule found within the effort: due days first, then the
// finish. Kept is false when some most time or pin could not be kept in it.
func Level(p *Problem, early, late *network.Times, bound worktime.Instant, effort Effort) (best Schedule, kept bool) {
	b := breederFor(p, early, late, effort)
	b.Run(effort.Schedules-b.Made, bound, effort.Stop)
	return b.Best, b.Kept
}

// breederFor suits its populations to the effort.
func breederFor(p *Problem, early, late *network.Times, effort Effort) *Breeder {
	return NewBreeder(p, early, late, min(max(effort.Schedules/50, 8), 100), effort.Raises)
}

// before says whether a schedule is better than another.
func (s *Schedule) before(o *Schedule) bool {
	if s.Late != o.Late {
		return s.Late < o.Late
	}
	return s.Last < o.Last
}

// byLatestStart is the order of the first schedule: what is begun, then by latest start.
func (p *Problem) byLatestStart(late *network.Times) []int64 {
	priority := make([]int64, p.Graph.Steps())
	for i := range priority {
		priority[i] = int64(late.Start[i])
		if p.Graph.Progress[i] == network.Begun {
			priority[i] = int64(worktime.Ever)
		}
	}
	return priority
}
