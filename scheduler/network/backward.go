package network

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Latest is the greatest dates with which every wait that acts holds and every
// step finishes by its bound. Bounds are soft: a latest date may lie before the
// earliest one, which is negative float. FinishBy is the bound on the finish end
// alone, as if the step could be stretched: where only a step's start drives what
// follows, it is later than Latest's finish.
//
// The error is ErrBeyond when a date lies before the calendars.
func (g *Graph) Latest(bound []worktime.Instant) (latest Times, finishBy []worktime.Instant, err error) {
	n := g.Steps()
	b := &backward{g: g, t: NewTimes(n), finishBy: make([]worktime.Instant, n), dirty: make([]bool, n)}
	for i := range n {
		b.begin(i, bound[i])
	}
	from, to := n-1, 0
	for from >= to {
		next, last := -1, n
		for r := from; r >= to; r-- {
			i := g.order[r]
			if b.dirty[i] {
				b.dirty[i] = false
				b.pull(i, r, to, &next, &last)
			}
		}
		from, to = next, last
	}
	for i := range n {
		if !b.t.Start[i].Known() {
			return b.t, b.finishBy, ErrBeyond
		}
	}
	return b.t, b.finishBy, nil
}

// backward is the computation of latest dates.
type backward struct {
	g        *Graph
	t        Times
	finishBy []worktime.Instant
	dirty    []bool
}

func (b *backward) begin(i int, bound worktime.Instant) {
	g := b.g
	b.dirty[i] = true
	if g.Progress[i] == Done {
		b.t.Start[i], b.t.Finish[i] = g.Began[i], g.Ended[i]
		b.finishBy[i] = g.Ended[i]
		return
	}
	b.finishBy[i] = bound
	b.t.Start[i] = g.LastStartToFinishBy(i, bound)
	if g.Upper[i] < b.t.Start[i] {
		b.t.Start[i] = g.LastStartBy(i, g.Upper[i])
	}
}

// pull carries the latest dates of step j back along the arcs that end there.
func (b *backward) pull(j int32, rank, reach int, next, last *int) {
	g := b.g
	if g.Progress[j] != Done {
		b.t.Finish[j] = g.FinishOf(int(j), b.t.Start[j])
	}
	for _, k := range g.In(int(j)) {
		a := &g.Arcs[k]
		if !g.limits(a) || !b.lower(a) {
			continue
		}
		b.dirty[a.From] = true
		if q := int(g.rank[a.From]); q >= rank || q < reach {
			*next, *last = max(*next, q), min(*last, q)
		}
	}
}

// lower brings the latest dates of the arc's from step down to what the arc
// allows, and says whether they moved.
func (b *backward) lower(a *Arc) bool {
	g, i := b.g, int(a.From)
	t := g.greatest(a, g.upTo(a, &b.t))
	if a.FromEnd == scheduler.Finish {
		b.finishBy[i] = min(b.finishBy[i], t)
	}
	s := g.startBy(a, t)
	if s >= b.t.Start[i] || !b.t.Start[i].Known() {
		return false
	}
	b.t.Start[i] = s
	return true
}

// limits says whether an arc keeps its from step from being late: recorded times
// do not move, and only a most time looks back at one.
func (g *Graph) limits(a *Arc) bool {
	return !a.Dropped && !g.Fixed(a.From, a.FromEnd) && (a.Most || g.Progress[a.To] != Done)
}

// upTo is the instant of the arc's to end that its from end must allow: for a least
// time into a begun step the start of its rest, for a most time what was recorded.
func (g *Graph) upTo(a *Arc, t *Times) worktime.Instant {
	if a.Most {
		return g.at(t, a.To, a.ToEnd)
	}
	if a.ToEnd == scheduler.Start {
		return t.Start[a.To]
	}
	return t.Finish[a.To]
}

// LatestFinishFor is the greatest finish of step i with which every arc that
// leaves it still allows its to end to be where t has it.
func (g *Graph) LatestFinishFor(i int, t *Times, bound worktime.Instant) worktime.Instant {
	s := g.LastStartToFinishBy(i, bound)
	if g.Upper[i] < s {
		s = g.LastStartBy(i, g.Upper[i])
	}
	for k := g.first[i]; k < g.first[i+1]; k++ {
		a := &g.Arcs[k]
		s = min(s, g.GreatestStart(a, t))
	}
	return g.FinishOf(i, s)
}
