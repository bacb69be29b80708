package levelling

import (
	"sort"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Chain fixes the order between steps that share a limit as a schedule has it: for
// each unit of the limit, who has it after whom (chaining: Policella, Cesta, Oddi
// and Smith, "From precedence constraint posting to partial order schedules", AI
// Communications 20, 2007). With these arcs among the waits, no dates that keep
// them claim a crew, a room or a piece of gear twice.
func Chain(p *Problem, s *Schedule) []network.Arc {
	byLimit := make([][]int32, len(p.Limits))
	for u := range p.Uses {
		l := p.Uses[u].Limit
		byLimit[l] = append(byLimit[l], int32(u))
	}
	var arcs []network.Arc
	for l, uses := range byLimit {
		c := chaining{p: p, s: s, limit: int32(l), arcs: arcs}
		c.run(uses)
		arcs = c.arcs
	}
	return arcs
}

// chaining hands the units of one limit on from use to use.
type chaining struct {
	p     *Problem
	s     *Schedule
	limit int32
	held  []holding
	arcs  []network.Arc
}

// holding is units that a use has from some time until its end; last is the step
// at whose finish they are handed on, -1 at the outset.
type holding struct {
	last   int32
	until  worktime.Instant
	amount int32
}

func (c *chaining) run(uses []int32) {
	sort.SliceStable(uses, func(a, b int) bool {
		x, y := &c.p.Uses[uses[a]], &c.p.Uses[uses[b]]
		if s, t := c.start(x), c.start(y); s != t {
			return s < t
		}
		return c.s.Finish[x.To] < c.s.Finish[y.To]
	})
	c.held = append(c.held, holding{last: -1, until: worktime.Ever, amount: c.p.Limits[c.limit].Size})
	for _, u := range uses {
		use := &c.p.Uses[u]
		c.take(use)
		c.held = append(c.held, holding{last: use.To, until: max(c.s.Finish[use.To], c.start(use)), amount: use.Amount})
	}
}

// start is when a use begins: as of where an occupation's first step is done.
func (c *chaining) start(u *Use) worktime.Instant {
	if c.p.Graph.Progress[u.From] == network.Done {
		return c.p.Graph.AsOf
	}
	return c.s.Start[u.From]
}

// take gives a use its units: first from those who come before it anyway, then
// from those who were done last, so that the fewest new orders arise and the early
// ones stay free. Where too little is free, as when a step was let in against an
// occupation, it takes what there is.
func (c *chaining) take(u *Use) {
	start := c.start(u)
	free := make([]int, 0, len(c.held))
	for k := range c.held {
		if c.held[k].until <= start {
			free = append(free, k)
		}
	}
	sort.SliceStable(free, func(a, b int) bool {
		x, y := &c.held[free[a]], &c.held[free[b]]
		if p, q := c.precedes(x.last, u.From), c.precedes(y.last, u.From); p != q {
			return p
		}
		return x.until > y.until
	})
	want := u.Amount
	for _, k := range free {
		if want == 0 {
			break
		}
		h := &c.held[k]
		got := min(want, h.amount)
		want -= got
		h.amount -= got
		if h.last >= 0 && h.last != u.From && c.p.Graph.Progress[u.From] != network.Done {
			c.arcs = append(c.arcs, precede(h.last, u.From, c.limit))
		}
	}
	kept := c.held[:0]
	for _, h := range c.held {
		if h.amount > 0 {
			kept = append(kept, h)
		}
	}
	c.held = kept
}

// precedes says whether a wait already leads from the finish of one step to another.
func (c *chaining) precedes(first, then int32) bool {
	if first < 0 {
		return true
	}
	for _, a := range c.p.Graph.Out(int(first)) {
		if a.To == then && !a.Most && !a.Dropped {
			return true
		}
	}
	return false
}
