package levelling

import (
	"sort"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Chain fixes the order between steps that share a limit as a schedule has it: for
// each unit of the limit, who has it after whom (chaining: Policella, Cesta, Oddi
// and Smith, "From precedence constraint posting to partial order schedules", AI
// Communications 20, 2007). With these arcs among the waits, no dates that keep
// them claim a crew, a room or a piece of gear twice.
func Chain(p *Problem, s *Schedule) []network.Arc {
	c := newChaining(p, s)
	for l := range p.Limits {
		c.chain(int32(l))
	}
	return c.arcs
}

func newChaining(p *Problem, s *Schedule) *chaining {
	c := &chaining{p: p, s: s, uses: make([][]int32, len(p.Limits)), linked: newFollowers(p.Graph.Steps(), len(p.Uses))}
	for u := range p.Uses {
		l := p.Uses[u].Limit
		c.uses[l] = append(c.uses[l], int32(u))
	}
	for l := range p.Limits {
		c.inOrder(c.uses[l])
	}
	return c
}

// chain adds the arcs of one limit.
func (c *chaining) chain(limit int32) {
	c.limit, c.held = limit, c.held[:0]
	if c.p.Limits[limit].Kind == Alone {
		c.aroundAlone(c.uses[limit])
	} else {
		c.handOn(c.uses[limit])
	}
}

// chaining hands the units of one limit after the other on from use to use.
type chaining struct {
	p      *Problem
	s      *Schedule
	uses   [][]int32 // by limit: its uses in order of start
	limit  int32
	held   []holding
	arcs   []network.Arc
	linked followers                                           // how many arcs each pair has
	prefer func(c *chaining, free int, u *Use) (order []int32) // whose units to take first; nil: of those that ended last
}

// pair is two steps of which the first comes before the second.
type pair struct{ first, then int32 }

// holding is units that a use has until its end; last is the step at whose finish
// they are handed on, -1 at the outset.
type holding struct {
	last   int32
	until  worktime.Instant
	amount int32
}

// inOrder sorts uses by their start.
func (c *chaining) inOrder(uses []int32) {
	sort.SliceStable(uses, func(a, b int) bool {
		x, y := &c.p.Uses[uses[a]], &c.p.Uses[uses[b]]
		if s, t := c.start(x), c.start(y); s != t {
			return s < t
		}
		return c.s.Finish[x.To] < c.s.Finish[y.To]
	})
}

// handOn chains the uses of a limit whose units are handed on from one to the next.
func (c *chaining) handOn(uses []int32) {
	c.keep(holding{last: -1, until: worktime.Ever, amount: c.p.Limits[c.limit].Size})
	for _, u := range uses {
		use := &c.p.Uses[u]
		if c.empty(use) {
			continue
		}
		c.take(use)
		c.keep(holding{last: use.To, until: max(c.s.Finish[use.To], c.start(use)), amount: use.Amount})
	}
}

// aroundAlone chains those who need a place alone with everybody else: the others
// never get into each other's way.
func (c *chaining) aroundAlone(uses []int32) {
	all := c.p.Limits[c.limit].Size
	var alone *Use
	var since []*Use
	for _, u := range uses {
		use := &c.p.Uses[u]
		if c.empty(use) {
			continue
		}
		if alone != nil {
			c.order(alone, use)
		}
		if use.Amount < all {
			since = append(since, use)
			continue
		}
		for _, before := range since {
			c.order(before, use)
		}
		alone, since = use, nil
	}
}

// empty says whether an occupation takes nothing because its end comes before its
// beginning, and sees to it that it stays so.
func (c *chaining) empty(u *Use) bool {
	if u.From == u.To || c.s.Finish[u.To] > c.start(u) {
		return false
	}
	c.link(u.To, u.From)
	return true
}

// order lets one use come after another, where the schedule has it so and no wait
// says so already.
func (c *chaining) order(first, then *Use) {
	if c.s.Finish[first.To] > c.start(then) {
		return
	}
	c.link(first.To, then.From)
}

func (c *chaining) link(first, then int32) {
	if first >= 0 && first != then && c.p.Graph.Progress[then] != network.Done && !c.precedes(first, then) {
		c.arcs = append(c.arcs, precede(first, then, c.limit))
		c.linked.add(first, then, 0, 1)
	}
}

// keep puts a holding among the others, by when it ends.
func (c *chaining) keep(h holding) {
	k := sort.Search(len(c.held), func(k int) bool { return c.held[k].until > h.until })
	c.held = append(c.held, holding{})
	copy(c.held[k+1:], c.held[k:])
	c.held[k] = h
}

// start is when a use begins: as of where it is an occupation that has begun.
func (c *chaining) start(u *Use) worktime.Instant {
	if c.p.heldAlready(u) {
		return c.p.Graph.AsOf
	}
	return c.s.Start[u.From]
}

// nearby is how many of the holdings that ended last are looked at for one that
// comes before a use anyway.
const nearby = 32

// take gives a use its units: first from those who come before it anyway, then
// from those who were done last, so that the fewest new orders arise and the early
// ones stay free.
func (c *chaining) take(u *Use) {
	start := c.start(u)
	free := sort.Search(len(c.held), func(k int) bool { return c.held[k].until > start })
	want := u.Amount
	for k := free - 1; k >= max(0, free-nearby) && want > 0; k-- {
		if last := c.held[k].last; c.precedes(last, u.From) || c.linked.has(last, u.From, 0) {
			want -= c.give(k, want, u.From)
		}
	}
	if c.prefer != nil && want > 0 {
		for _, k := range c.prefer(c, free, u) {
			want -= c.give(int(k), want, u.From)
		}
	}
	for k := free - 1; k >= 0 && want > 0; k-- {
		want -= c.give(k, want, u.From)
	}
	kept := c.held[:0]
	for _, h := range c.held {
		if h.amount > 0 {
			kept = append(kept, h)
		}
	}
	c.held = kept
}

// give hands up to want units of holding k on to a step.
func (c *chaining) give(k int, want, to int32) int32 {
	h := &c.held[k]
	got := min(want, h.amount)
	if got > 0 {
		h.amount -= got
		c.link(h.last, to)
	}
	return got
}

// precedes says whether a wait already lets a step start no earlier than another's
// finish.
func (c *chaining) precedes(first, then int32) bool {
	if first < 0 {
		return true
	}
	for _, a := range c.p.Graph.Out(int(first)) {
		if a.To == then && !a.Most && !a.Dropped && a.FromEnd == scheduler.Finish && a.ToEnd == scheduler.Start {
			return true
		}
	}
	return false
}
