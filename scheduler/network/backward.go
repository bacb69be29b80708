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
	b := newBackward(g)
	if !b.sweep(bound) {
		return b.t, b.finishBy, ErrBeyond
	}
	next, last := -1, g.Steps()
	for _, k := range b.lanes.back {
		if a := &g.Arcs[k]; b.lower(a) {
			q := int(g.rank[a.From])
			next, last = max(next, q), min(last, q)
		}
	}
	for from, to := next, last; from >= to; from, to = next, last {
		next, last = -1, g.Steps()
		for r := from; r >= to; r-- {
			if i := g.order[r]; b.dirty[i] {
				b.dirty[i] = false
				b.pull(i, r, to, &next, &last)
			}
		}
	}
	for i := range g.Steps() {
		if !b.t.Start[i].Known() {
			return b.t, b.finishBy, ErrBeyond
		}
	}
	return b.t, b.finishBy, nil
}

// backward is the computation of latest dates.
type backward struct {
	g        *Graph
	lanes    *lanes
	label    []worktime.Instant // of the sweep, see labels
	t        Times
	finishBy []worktime.Instant
	dirty    []bool
}

func newBackward(g *Graph) *backward {
	n := g.Steps()
	b := &backward{g: g, lanes: g.lanes(true), finishBy: make([]worktime.Instant, n), dirty: make([]bool, n)}
	b.label, b.t = g.newLabels()
	return b
}

// sweep dates each step once, last ranks first, from all that bounds it and comes
// after it. It is false where a date lies before the calendars.
func (b *backward) sweep(bound []worktime.Instant) bool {
	g, l := b.g, b.lanes
	site := g.Calendars[Site]
	for r := len(g.order) - 1; r >= 0; r-- {
		i := g.order[r]
		if g.Progress[i] == Done {
			b.t.Start[i], b.t.Finish[i], b.finishBy[i] = g.Began[i], g.Ended[i], g.Ended[i]
		} else if !b.date(i, bound[i], site) {
			return false
		}
		l.ask(i, &b.t, site, b.label)
	}
	return true
}

// date gives step i its greatest start under the bounds on both its ends, and its finish.
func (b *backward) date(i int32, bound worktime.Instant, site *worktime.Calendar) bool {
	g, l := b.g, b.lanes
	most := sums{-unbounded, -unbounded, -unbounded, -unbounded}
	for _, h := range l.hops[l.first[i]:l.first[i+1]] {
		s := &most[h.sum%labels]
		*s = min(*s, b.label[h.far]+h.lag)
	}
	by, from := min(bound, most[scheduler.Finish]), min(g.Upper[i], most[scheduler.Start])
	if w := most[working+scheduler.Finish]; w < -unbounded {
		by = min(by, site.Last(int64(w)))
	}
	if w := most[working+scheduler.Start]; w < -unbounded {
		from = min(from, site.Last(int64(w)))
	}
	start, finish := g.fitBy(i, by)
	if from < start {
		start = g.LastStartBy(int(i), from)
		finish = g.FinishOf(int(i), start)
	}
	b.t.Start[i], b.t.Finish[i], b.finishBy[i] = start, finish, by
	return start.Known()
}

// pull carries the latest dates of step j back along the arcs that end there.
func (b *backward) pull(j int32, rank, reach int, next, last *int) {
	g := b.g
	if g.Progress[j] != Done {
		b.t.Finish[j] = g.FinishOf(int(j), b.t.Start[j])
	}
	for _, k := range g.In(int(j)) {
		a := &g.Arcs[k]
		if q := int(g.rank[a.From]); g.limits(a) && b.lower(a) && (q >= rank || q < reach) {
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
	b.t.Start[i], b.dirty[i] = s, true
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
