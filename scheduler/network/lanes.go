package network

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// lanes is the arcs of a graph laid out for one pass over the steps in the order of
// their ranks, forwards or backwards. Such a pass dates a step from steps that it
// has been to, and what it reads of an arc is little: where the date at the far end
// stands, how far to shift it, and what that bounds at the near end. The arcs that
// bound a step lie together.
type lanes struct {
	first   []int32 // by step: hops[first[i]:first[i+1]] bound it
	hops    []hop
	arcs    []int32 // by hop: its arc
	asked   []uint8 // by step: of which ends the working minutes are read, as 1<<end
	back    []int32 // arcs whose far end the pass comes to later
	fixed   []int32 // forwards: most times that look back at a recorded time
	dropped []int32 // arcs that had been set aside
}

// hop is an arc as a pass reads it: the label at far, plus lag, bounds the near step.
type hop struct {
	lag worktime.Instant
	far int32
	sum uint8 // index in sums
}

// Each step has four labels: the instants of its start and its finish, and the
// working minutes of the site before each of them. A lag on the site's calendar is
// added to the latter, and only the strictest sum has to be turned back into an
// instant, as the functions of a calendar rise. All starts lie together, then all
// finishes, and so on; after them comes a label that is always 0.
const (
	labels  = 4
	working = 2 // from the place of an instant to that of its working minutes
)

// newLabels is the labels of a graph's steps, and those that are their dates.
func (g *Graph) newLabels() ([]worktime.Instant, Times) {
	n := g.Steps()
	label := make([]worktime.Instant, labels*n+1)
	return label, Times{Start: label[:n:n], Finish: label[n : 2*n : 2*n]}
}

// sums is the strictest bounds on a step, in the order of its labels.
type sums [labels]worktime.Instant

// unbounded bounds no earliest date; negated it bounds no latest one.
const unbounded = 2 * worktime.Ever

// role is what a pass makes of an arc.
type role uint8

const (
	roleIdle    role = iota // it bounds nothing
	roleHop                 // it bounds a step that the pass comes to later
	roleBack                // it bounds a step that the pass has been to
	roleFixed               // it looks back at a recorded time
	roleDropped             // it has been set aside
)

// laid is the lanes of both passes.
type laid struct{ forward, backward *lanes }

// layOut lays the arcs out for both passes.
func (g *Graph) layOut() {
	g.laid.forward = g.newLanes(false)
	g.laid.backward = g.newLanes(true)
}

// lanes is the lanes of one pass, laid anew where arcs have been set aside since they
// were laid.
func (g *Graph) lanes(backwards bool) *lanes {
	l := g.laid.forward
	if backwards {
		l = g.laid.backward
	}
	if l != nil && g.hasDropped(l.dropped) {
		return l
	}
	return g.newLanes(backwards)
}

// hasDropped says whether these arcs and no others have been set aside.
func (g *Graph) hasDropped(arcs []int32) bool {
	n := 0
	for k := range g.Arcs {
		if g.Arcs[k].Dropped {
			if n == len(arcs) || arcs[n] != int32(k) {
				return false
			}
			n++
		}
	}
	return n == len(arcs)
}

// newLanes lays the arcs out for one pass. The hops of a step are in the order in
// which a pass comes to the steps from which they leave.
func (g *Graph) newLanes(backwards bool) *lanes {
	n := g.Steps()
	l := &lanes{first: make([]int32, n+1), asked: make([]uint8, n)}
	roles := make([]role, len(g.Arcs))
	for k := range g.Arcs {
		a := &g.Arcs[k]
		roles[k] = g.role(a, backwards)
		switch near, _ := a.across(backwards); roles[k] {
		case roleHop:
			l.first[near.step+1]++
		case roleFixed:
			l.fixed = append(l.fixed, int32(k))
		case roleDropped:
			l.dropped = append(l.dropped, int32(k))
		}
	}
	for i := range n {
		l.first[i+1] += l.first[i]
	}
	l.hops, l.arcs = make([]hop, l.first[n]), make([]int32, l.first[n])
	next := append([]int32(nil), l.first[:n]...)
	for _, i := range g.order {
		for k := g.first[i]; k < g.first[i+1]; k++ {
			switch roles[k] {
			case roleHop:
				near, far := g.Arcs[k].across(backwards)
				h := g.hopOf(&g.Arcs[k], near, far, backwards)
				if h.sum >= working {
					l.asked[far.step] |= 1 << far.end
				}
				at := &next[near.step]
				l.hops[*at], l.arcs[*at] = h, k
				*at++
			case roleBack:
				l.back = append(l.back, k)
			}
		}
	}
	return l
}

// end is one end of a step.
type end struct {
	step int32
	end  scheduler.End
}

// across is the end that an arc bounds in a pass, and the one from which it does.
func (a *Arc) across(backwards bool) (near, far end) {
	near, far = end{a.To, a.ToEnd}, end{a.From, a.FromEnd}
	if backwards {
		return far, near
	}
	return near, far
}

// role is what a pass does with an arc.
func (g *Graph) role(a *Arc, backwards bool) role {
	looksBack := g.Progress[a.To] == Done || a.Most && g.Fixed(a.To, a.ToEnd)
	switch {
	case a.Dropped:
		return roleDropped
	case backwards && !g.limits(a), !backwards && looksBack && !a.Most:
		return roleIdle
	case !backwards && looksBack:
		return roleFixed
	case g.rank[a.From] < g.rank[a.To] && !looksBack:
		return roleHop
	}
	return roleBack
}

// hopOf is an arc as a hop.
func (g *Graph) hopOf(a *Arc, near, far end, backwards bool) hop {
	n, label := int32(g.Steps()), int32(far.end)
	h := hop{lag: worktime.Instant(a.Lag), sum: uint8(near.end)}
	if (a.Lag != 0 || a.Most) && !g.Calendars[a.Cal].IsContinuous() {
		label, h.sum = label+working, h.sum+working
	}
	h.far = label*n + far.step
	if backwards {
		h.lag = -h.lag
	} else if g.Progress[far.step] == Begun && far.end == scheduler.Start {
		g.recorded(&h, far.step)
	}
	return h
}

// recorded makes a hop from the start of a begun step one from its recorded start.
// The labels are about the rest of the step.
func (g *Graph) recorded(h *hop, i int32) {
	began := g.Began[i]
	if h.sum >= working {
		began = worktime.Instant(g.Calendars[Site].Work(began))
	}
	h.lag, h.far = h.lag+began, int32(labels*g.Steps())
}

// ask writes the working minutes of the site before the dates of step i, as far as
// they are read.
func (l *lanes) ask(i int32, t *Times, site *worktime.Calendar, label []worktime.Instant) {
	asked, n := l.asked[i], int32(len(l.asked))
	if asked&(1<<scheduler.Start) != 0 {
		label[working*n+i] = worktime.Instant(site.Work(t.Start[i]))
	}
	if asked&(1<<scheduler.Finish) != 0 {
		label[(working+1)*n+i] = worktime.Instant(site.Work(t.Finish[i]))
	}
}
