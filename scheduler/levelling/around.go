package levelling

import (
	"slices"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/proof"
	"gaugerod/scheduler/worktime"
)

// mostSeeds is around how many of the things not kept a contradiction is looked for
// before the whole problem is searched; mostAround is how many steps are looked at.
const (
	mostSeeds  = 6
	mostAround = 120
)

// seeds is the steps of each most time, pin and occupation that the nearest schedule
// does not keep.
func (c *contradicting) seeds() [][]int32 {
	var list [][]int32
	g, t := c.p.Graph, &c.near.Times
	for k := range g.Arcs {
		a := &g.Arcs[k]
		if a.Dropped || g.Progress[a.To] == network.Done || a.Most && g.Fixed(a.To, a.ToEnd) && g.Fixed(a.From, a.FromEnd) {
			continue
		}
		var broken bool
		if g.Fixed(a.To, a.ToEnd) {
			broken = a.Most && t.Start[a.From] > g.GreatestStart(a, t)
		} else {
			s, _ := g.LeastStart(a, t)
			broken = s > t.Start[a.To]
		}
		if broken {
			list = append(list, []int32{a.From, a.To})
		}
	}
	for i := range g.Steps() {
		if g.Progress[i] == network.Open && t.Start[i] > g.Upper[i] {
			list = append(list, []int32{int32(i)})
		}
	}
	for _, b := range c.near.Barred {
		from, _ := g.Net.Find(g.Net.Occupations[b.Occupation].From)
		to, _ := g.Net.Find(g.Net.Occupations[b.Occupation].To)
		list = append(list, []int32{b.Step, int32(from), int32(to)})
	}
	slices.SortStableFunc(list, func(a, b []int32) int { return int(t.Start[a[0]] - t.Start[b[0]]) })
	return list[:min(len(list), mostSeeds)]
}

// around takes in more and more of what holds some steps where they are, until what
// is said of those taken in cannot hold.
func (c *contradicting) around(seeds []int32, early *network.Times) (part, bool) {
	in := make([]bool, c.p.Graph.Steps())
	var steps []int32
	take := func(i int32) {
		if !in[i] {
			in[i] = true
			steps = append(steps, i)
		}
	}
	for _, i := range seeds {
		take(i)
	}
	for looked := 0; looked < len(steps) && len(steps) <= mostAround; {
		until := len(steps)
		for ; looked < until; looked++ {
			c.holders(steps[looked], early, take)
		}
		q := part{steps: slices.Sorted(slices.Values(steps))}
		q.claims = c.claims(q.steps)
		if c.holds(&q) == proof.Refuted {
			return q, true
		}
	}
	return part{}, false
}

// holders is what holds step i where the nearest schedule has it: the steps whose
// waits do, those that have what it needs between its earliest start and its finish,
// and the other ends of occupations.
func (c *contradicting) holders(i int32, early *network.Times, take func(int32)) {
	g, t := c.p.Graph, &c.near.Times
	for _, k := range g.Holding(int(i), t) {
		take(g.Arcs[k].From)
	}
	for k := range g.Out(int(i)) {
		if a := &g.Out(int(i))[k]; a.Most && !a.Dropped {
			take(a.To)
		}
	}
	for _, k := range g.In(int(i)) {
		if a := &g.Arcs[k]; a.Most && !a.Dropped {
			take(a.From)
		}
	}
	for u := range c.p.Uses {
		use := &c.p.Uses[u]
		if use.From != i && use.To != i {
			continue
		}
		from, until := min(early.Start[use.From], t.Start[use.From]), t.Finish[use.To]
		take(use.From)
		take(use.To)
		for v := range c.p.Uses {
			if o := &c.p.Uses[v]; o.Limit == use.Limit && v != u && c.meets(o, from, until) {
				take(o.From)
				take(o.To)
			}
		}
	}
}

// meets says whether a use lasts at some time between two.
func (c *contradicting) meets(o *Use, from, until worktime.Instant) bool {
	start := c.near.Start[o.From]
	if c.p.heldAlready(o) {
		start = c.p.Graph.AsOf
	}
	return start < until && from < c.near.Finish[o.To]
}
