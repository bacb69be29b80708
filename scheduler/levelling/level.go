package levelling

import (
	"math/rand/v2"
	"slices"

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
		return Effort{Schedules: 16, Raises: 60, LateEnds: 500, DeadEnds: 500, VisitEnds: 8, Chains: 8}
	}
	return Effort{Schedules: 1, Raises: 4}
}

// Level is the best schedule found within the effort: due days first, then the
// finish. Kept is false when some most time or pin could not be kept in it.
func Level(p *Problem, early, late *network.Times, bound worktime.Instant, effort Effort) (best Schedule, kept bool) {
	l := &leveller{
		p: p, serial: newSerial(p), early: early.Start, effort: effort,
		rng: rand.New(rand.NewPCG(1963, uint64(p.Graph.Steps()))),
	}
	first := p.byLatestStart(late)
	c := l.make(first)
	if effort.Schedules > 1 {
		l.mirror = newMirror(p)
		l.pass(c)
	}
	for l.made < effort.Schedules && !(effort.Stop != nil && effort.Stop()) && !(l.pool[0].kept && l.pool[0].Late == 0 && l.pool[0].Last <= bound) {
		l.refine(first)
	}
	return l.pool[0].Schedule, l.pool[0].kept
}

// leveller is a search among orders: it keeps the best few schedules it has made and
// goes on from one of them.
type leveller struct {
	p      *Problem
	serial *serial
	mirror *mirror
	early  []worktime.Instant
	effort Effort
	rng    *rand.Rand
	made   int
	pool   []candidate // the best first
	order  []int64
}

// candidate is a schedule with whether it keeps every most time and pin.
type candidate struct {
	Schedule
	kept bool
}

// pooled is how many schedules the search goes on from.
func (l *leveller) pooled() int { return min(max(l.effort.Schedules/50, 8), 40) }

// make makes a schedule in an order and keeps it if it is among the best.
func (l *leveller) make(order []int64) candidate {
	l.made++
	s, kept := l.serial.schedule(order, l.early, l.effort.Raises)
	c := candidate{s, kept}
	at := len(l.pool)
	for at > 0 && c.before(&l.pool[at-1]) {
		at--
	}
	if pooled := l.pooled(); at < pooled && !l.known(&c) {
		l.pool = append(l.pool, candidate{})
		copy(l.pool[at+1:], l.pool[at:])
		l.pool[at] = c
		l.pool = l.pool[:min(len(l.pool), pooled)]
	}
	return c
}

// known says whether the pool has the same starts already.
func (l *leveller) known(c *candidate) bool {
	for k := range l.pool {
		if o := &l.pool[k]; o.Last == c.Last && o.Late == c.Late && slices.Equal(o.Start, c.Start) {
			return true
		}
	}
	return false
}

func (c *candidate) before(o *candidate) bool {
	if c.kept != o.kept {
		return c.kept
	}
	return c.Schedule.before(&o.Schedule)
}

// refine makes a schedule in an order a little different from one of the best, from
// two of them joined or, now and then, from that of the latest starts, and passes it
// backwards and forwards while that helps.
func (l *leveller) refine(first []int64) {
	base, length := first, int64(l.pool[0].Last-l.p.Graph.AsOf)
	switch l.rng.IntN(16) {
	case 0:
	case 1, 2, 3, 4, 5, 6, 7:
		base = l.join(l.any(), l.any())
	default:
		base = l.join(l.any(), nil)
	}
	l.pass(l.make(vary(base, length, l.rng)))
}

func (l *leveller) any() *Schedule { return &l.pool[l.rng.IntN(len(l.pool))].Schedule }

// join is the order of one schedule's starts, of those up to a time drawn by lot,
// followed by that of another's.
func (l *leveller) join(a, b *Schedule) []int64 {
	l.order = l.order[:0]
	from, cut := int64(l.p.Graph.AsOf), int64(worktime.Never)
	if b != nil {
		cut = from + l.rng.Int64N(max(int64(a.Last)-from, 1))
	}
	for i, s := range a.Start {
		if b == nil || int64(s) < cut {
			l.order = append(l.order, int64(s))
		} else {
			l.order = append(l.order, max(int64(b.Start[i]), cut))
		}
	}
	return l.order
}

// pass justifies a schedule to the right and makes one in the order found so, for as
// long as each is better than the one before.
func (l *leveller) pass(c candidate) {
	for {
		l.made++
		order, ok := l.mirror.justify(&c.Schedule, l.effort.Raises)
		if !ok {
			return
		}
		next := l.make(order)
		if !next.before(&c) {
			return
		}
		c = next
	}
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

// vary shuffles an order by a share of the whole length either way, from a
// hundredth to a fifth.
func vary(order []int64, length int64, rng *rand.Rand) []int64 {
	shares := [...]int64{1, 2, 4, 8, 20}
	reach := max(length*shares[rng.IntN(len(shares))]/100, 1)
	varied := make([]int64, len(order))
	for i, v := range order {
		varied[i] = v + rng.Int64N(2*reach+1) - reach
	}
	return varied
}
