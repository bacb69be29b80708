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
		after, before := p.reach(occ.From, false), p.reach(occ.To, true)
		begun := p.Graph.Progress[occ.From] != network.Open
		for u := range p.Uses {
			use := &p.Uses[u]
			if use.Occupation >= 0 || use.Limit != occ.Limit || use.Amount+occ.Amount <= p.Limits[use.Limit].Size {
				continue
			}
			switch x := use.From; {
			case before[x] && (after[x] || begun):
				out[int32(u)] = true
				p.Barred = append(p.Barred, Bar{Occupation: occ.Occupation, Step: x})
			case before[x]:
				arcs = append(arcs, precede(x, occ.From, use.Limit))
			case after[x] || begun:
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

// reach is the steps that lie after a step along least times, or before it.
func (p *Problem) reach(from int32, back bool) []bool {
	g := p.Graph
	seen := make([]bool, g.Steps())
	stack := []int32{from}
	visit := func(j int32, a *network.Arc) {
		if !a.Most && !a.Dropped && !seen[j] && j != from {
			seen[j] = true
			stack = append(stack, j)
		}
	}
	for len(stack) > 0 {
		i := int(stack[len(stack)-1])
		stack = stack[:len(stack)-1]
		if back {
			for _, k := range g.In(i) {
				visit(g.Arcs[k].From, &g.Arcs[k])
			}
			continue
		}
		for k := range g.Out(i) {
			a := &g.Out(i)[k]
			visit(a.To, a)
		}
	}
	return seen
}
