package levelling

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// slackCounts is the slack of a step, in minutes of its own time, beyond which more of
// it counts for nothing when chainings are compared: two weeks of usual days, after
// which a plan is made anew anyway. Common practice, no source.
const slackCounts = 10 * 8 * 60

// ChainLoosely is Chain with the units of each limit handed on so that the steps have
// the most slack, each step's counted up to two weeks: a number of ways are tried, and
// the best is kept (Policella, Cesta, Oddi and Smith 2007, who hand on at random and
// prefer those who come before anyway). After all limits have been handed on by a rule,
// one limit at a time is handed on anew, partly by lot with a fixed seed. The schedule
// keeps all waits and limits.
func ChainLoosely(p *Problem, s *Schedule, ways int) []network.Arc {
	return loosened(p, s, ways).all()
}

// ChainLike is Chain with the units of each limit handed on, where a schedule lets them
// be, from those to those between whom other arcs have handed them on.
func ChainLike(p *Problem, s *Schedule, other []network.Arc) []network.Arc {
	was := newFollowers(p.Graph.Steps(), len(other))
	for k := range other {
		was.add(other[k].From, other[k].To, other[k].Limit, 1)
	}
	c := newChaining(p, s)
	c.prefer = func(c *chaining, free int, u *Use) []int32 {
		var first []int32
		for k := free - 1; k >= 0; k-- {
			if last := c.held[k].last; last >= 0 && was.has(last, u.From, c.limit) {
				first = append(first, int32(k))
			}
		}
		return first
	}
	for l := range p.Limits {
		c.chain(int32(l))
	}
	return c.arcs
}

func loosened(p *Problem, s *Schedule, ways int) *loosening {
	l := &loosening{c: newChaining(p, s), arcs: make([][]network.Arc, len(p.Limits)), rng: rand.New(rand.NewPCG(2007, uint64(p.Graph.Steps())))}
	var several []int32 // limits with a choice
	for k := range p.Limits {
		l.arcs[k] = l.handOn(int32(k), nil)
		if lim := &p.Limits[k]; lim.Kind != Alone && lim.Size > 1 && len(l.c.uses[k]) > 2 {
			several = append(several, int32(k))
		}
	}
	if ways < 2 || len(several) == 0 || !l.date() {
		return l
	}
	for way := range ways - 1 {
		if way < len(several) {
			l.try(several[way], bestFit)
		} else {
			l.try(several[l.rng.IntN(len(several))], l.nearlyBestFit)
		}
	}
	return l
}

// loosening is the search for the chaining with the most slack.
type loosening struct {
	c     *chaining
	rng   *rand.Rand
	arcs  [][]network.Arc // by limit, the best so far
	late  network.Times   // latest dates with them
	reach Schedule        // lateness and finish of the planned dates with them
	slack int64
}

// choice is how a use chooses whom to take from.
type choice func(c *chaining, late *network.Times, free int, u *Use) []int32

func (l *loosening) all() []network.Arc { return slices.Concat(l.arcs...) }

// handOn is the arcs of one limit by a choice.
func (l *loosening) handOn(limit int32, choose choice) []network.Arc {
	c := l.c
	c.arcs, c.prefer = nil, nil
	if choose != nil {
		c.prefer = func(c *chaining, free int, u *Use) []int32 { return choose(c, &l.late, free, u) }
	}
	c.chain(limit)
	return c.arcs
}

// try hands one limit on anew and keeps that if it leaves more slack.
func (l *loosening) try(limit int32, choose choice) {
	before := *l
	l.arcs = slices.Clone(l.arcs)
	l.link(l.arcs[limit], -1)
	l.arcs[limit] = nil
	l.date()
	l.arcs[limit] = l.handOn(limit, choose)
	if l.date() && (l.reach.before(&before.reach) || !before.reach.before(&l.reach) && l.slack > before.slack) {
		return
	}
	l.link(l.arcs[limit], -1)
	*l = before
	l.link(l.arcs[limit], 1)
}

func (l *loosening) link(arcs []network.Arc, n int32) {
	for k := range arcs {
		l.c.linked.add(arcs[k].From, arcs[k].To, 0, n)
	}
}

// date computes the planned and latest dates with the arcs, and their slack.
func (l *loosening) date() bool {
	p := l.c.p
	h := p.Graph.WithArcs(l.all())
	planned, conflicts, err := h.Earliest()
	if err != nil || len(conflicts) > 0 {
		return false
	}
	l.reach = p.measured(planned)
	bounds, _ := h.Bounds(l.reach.Last)
	if l.late, _, err = h.Latest(bounds); err != nil {
		return false
	}
	l.slack = p.slack(&planned, &l.late)
	return true
}

// slack is the slack of all steps together, each counted up to two weeks.
func (p *Problem) slack(planned, late *network.Times) int64 {
	g, sum := p.Graph, int64(0)
	for i := range g.Steps() {
		if g.Progress[i] == network.Done {
			continue
		}
		c := g.Calendars[g.Cal[i]]
		sum += min(c.Work(late.Finish[i])-c.Work(planned.Finish[i]), slackCounts)
	}
	return sum
}

// bestFit takes from those first whom handing on costs nothing, since their latest
// finish comes before the latest start of the use anyway, the latest of them first;
// then from those with the earliest latest finish.
func bestFit(c *chaining, late *network.Times, free int, u *Use) []int32 {
	start := late.Start[u.From]
	order := make([]int32, free)
	for k := range order {
		order[k] = int32(k)
	}
	until := func(k int32) worktime.Instant {
		if last := c.held[k].last; last >= 0 {
			return late.Finish[last]
		}
		return worktime.Ever
	}
	slices.SortStableFunc(order, func(a, b int32) int {
		x, y := until(a), until(b)
		if x <= start && y <= start {
			return cmp.Compare(y, x)
		}
		return cmp.Compare(x, y)
	})
	return order
}

// nearlyBestFit is the best fit, but for a choice now and then.
func (l *loosening) nearlyBestFit(c *chaining, late *network.Times, free int, u *Use) []int32 {
	order := bestFit(c, late, free, u)
	if len(order) > 1 && l.rng.IntN(4) == 0 {
		k := l.rng.IntN(len(order))
		order[0], order[k] = order[k], order[0]
	}
	return order
}
