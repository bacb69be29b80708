package levelling

import (
	"math/rand/v2"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Effort is how much search a levelling may do, counted in schedules made, so that
// the same input gives the same plan on every machine.
type Effort struct {
	Schedules int   // at most, forward and backward ones together
	Raises    int   // schedules begun anew to keep most times, for each
	DeadEnds  int64 // that the search for a proof may meet
}

// DefaultEffort suits the number of steps: some dozens of schedules and a search for
// a proof for a house, one schedule for a network of a hundred thousand steps.
func DefaultEffort(steps int) Effort {
	switch {
	case steps <= 500:
		return Effort{Schedules: 80, Raises: 400, DeadEnds: 2000}
	case steps <= 5_000:
		return Effort{Schedules: 16, Raises: 60, DeadEnds: 500}
	}
	return Effort{Schedules: 1, Raises: 4}
}

// Level is the best schedule found within the effort: due days first, then the
// finish. Kept is false when some most time or pin could not be kept in it.
func Level(p *Problem, early, late *network.Times, bound worktime.Instant, effort Effort) (best Schedule, kept bool) {
	s := newSerial(p)
	priority := p.byLatestStart(late)
	best, kept = s.schedule(priority, early.Start, effort.Raises)
	made := 1
	better := func(order []int64) bool {
		made++
		found, ok := s.schedule(order, early.Start, effort.Raises)
		if kept && !ok || kept == ok && !found.before(&best) {
			return false
		}
		best, kept = found, ok
		return true
	}
	mirror := newMirror(p)
	rng := rand.New(rand.NewPCG(1963, uint64(len(priority))))
	for made < effort.Schedules && !(kept && best.Late == 0 && best.Last <= bound) {
		made++
		if order, ok := mirror.justify(&best, effort.Raises); ok && better(order) {
			continue
		}
		better(vary(priority, rng))
	}
	return best, kept
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

// vary shuffles an order by up to four weeks either way.
func vary(priority []int64, rng *rand.Rand) []int64 {
	const reach = 4 * 7 * 24 * 60
	order := make([]int64, len(priority))
	for i, v := range priority {
		order[i] = v + rng.Int64N(2*reach) - reach
	}
	return order
}
