package levelling

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
)

// orderOccupations draws what follows from occupations without choice: a step that
// clashes with an occupation and has to come before its end comes before its
// beginning; one that has to come after its beginning comes after its end. A step
// for which both hold is barred: its clash is taken out of the problem and told.
func (p *Problem) orderOccupations() {
	var arcs []network.Arc
	out := map[int32]bool{}
	for o := range p.Uses {
		occ := &p.Uses[o]
		if occ.Occupation < 0 {
			continue
		}
		order := p.around(occ)
		for u := range p.Uses {
			use := &p.Uses[u]
			if use.Occupation >= 0 || use.Limit != occ.Limit || use.Amount+occ.Amount <= p.Limits[use.Limit].Size {
				continue
			}
			x := use.From
			mustPrecede, mustFollow := order.precedes(x), order.follows(x)
			switch {
			case mustPrecede && mustFollow:
				out[int32(u)] = true
				p.Barred = append(p.Barred, Bar{Occupation: occ.Occupation, Step: x})
			case mustPrecede:
				arcs = append(arcs, precede(x, occ.From, use.Limit))
			case mustFollow:
				arcs = append(arcs, precede(occ.To, x, use.Limit))
			}
		}
	}
	if len(out) > 0 {
		kept := p.Uses[:0]
		for u := range p.Uses {
			if !out[int32(u)] {
				kept = append(kept, p.Uses[u])
			}
		}
		p.Uses = kept
	}
	if len(arcs) > 0 {
		p.Graph = p.Graph.WithArcs(arcs)
	}
}

// precede lets a step start when another has finished, because they share a limit.
func precede(first, then, limit int32) network.Arc {
	return network.Arc{
		From: first, To: then, FromEnd: scheduler.Finish, ToEnd: scheduler.Start,
		Cal: network.RealTime, Wait: -1, Limit: limit,
	}
}

// around is what waits say of the order of steps around an occupation.
type around struct {
	first, last                                     int32
	begun                                           bool
	afterStart, afterFinish, beforeStart, beforeEnd []bool
}

func (p *Problem) around(occ *Use) *around {
	g := p.Graph
	a := &around{
		first: occ.From, last: occ.To,
		begun:      g.Progress[occ.From] != network.Open,
		afterStart: p.reach(occ.From, scheduler.Start, false),
		beforeEnd:  p.reach(occ.To, scheduler.Finish, true),
	}
	// An occupation that can be over before it begins keeps nobody from passing it by.
	lasts := a.begun || occ.From == occ.To || a.afterStart[2*occ.To+int32(scheduler.Start)] && g.Rest[occ.To] > 0
	if g.Rest[occ.From] > 0 {
		after := p.reach(occ.From, scheduler.Finish, false)
		if lasts = lasts || after[2*occ.To+int32(scheduler.Finish)]; lasts {
			a.afterFinish = after
		}
	}
	if lasts && g.Rest[occ.To] > 0 {
		a.beforeStart = p.reach(occ.To, scheduler.Start, true)
	}
	return a
}

// precedes says whether step x cannot come wholly after the occupation: it finishes
// before the occupation ends, or starts before the last step of it does.
func (a *around) precedes(x int32) bool {
	return a.beforeEnd[2*x+int32(scheduler.Finish)] || a.beforeStart != nil && a.beforeStart[2*x+int32(scheduler.Start)]
}

// follows says whether step x cannot come wholly before the occupation.
func (a *around) follows(x int32) bool {
	return a.begun || a.afterStart[2*x+int32(scheduler.Start)] || a.afterFinish != nil && a.afterFinish[2*x+int32(scheduler.Finish)]
}

// holds says whether step x lies wholly within the occupation, whatever the dates:
// its own two steps begin and end it.
func (a *around) holds(x int32) bool {
	return (a.begun || x == a.first || a.afterStart[2*x+int32(scheduler.Start)]) &&
		(x == a.last || a.beforeEnd[2*x+int32(scheduler.Finish)])
}

// reach is the ends of steps that cannot come before one end of a step, along least
// times, or with back those that cannot come after it. Entries are 2*step + end: a
// step's finish cannot come before its start.
func (p *Problem) reach(step int32, end scheduler.End, back bool) []bool {
	g := p.Graph
	seen := make([]bool, 2*g.Steps())
	stack := []int32{2*step + int32(end)}
	visit := func(q int32) {
		if !seen[q] {
			seen[q] = true
			stack = append(stack, q)
		}
	}
	for len(stack) > 0 {
		q := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		i, end := int(q/2), scheduler.End(q%2)
		if (end == scheduler.Start) != back {
			visit(q ^ 1)
		}
		if back {
			for _, k := range g.In(i) {
				if a := &g.Arcs[k]; a.ToEnd == end && orders(g, a) {
					visit(2*a.From + int32(a.FromEnd))
				}
			}
			continue
		}
		for k := range g.Out(i) {
			if a := &g.Out(i)[k]; a.FromEnd == end && orders(g, a) {
				visit(2*a.To + int32(a.ToEnd))
			}
		}
	}
	return seen
}

// orders says whether an arc keeps its to end from coming before its from end
// whatever the dates. A recorded time holds nobody and is not moved, but the rest of
// a begun step waits.
func orders(g *network.Graph, a *network.Arc) bool {
	return !a.Most && !a.Dropped && !g.Fixed(a.From, a.FromEnd) && g.Progress[a.To] != network.Done
}
