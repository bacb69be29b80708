package levelling

import (
	"testing"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
)

// possible says whether a small problem can hold at all, by trying every order of
// every two uses that cannot run at the same time or might not: one before the
// other, the other before it, or both at once. Earliest dates of an order keep its
// limits if any dates do. Known is false where there are too many pairs.
func possible(p *Problem) (can, known bool) {
	var pairs [][2]int
	for x := range p.Uses {
		for y := range x {
			a, b := &p.Uses[x], &p.Uses[y]
			if a.Limit == b.Limit && (a.From != b.From || a.To != b.To) {
				pairs = append(pairs, [2]int{x, y})
			}
		}
	}
	if len(pairs) > 7 {
		return false, false
	}
	var arcs []network.Arc
	var try func(k int) bool
	try = func(k int) bool {
		g := p.Graph.WithArcs(arcs)
		// What is set aside in a graph is set aside in all that share its steps:
		// contradictions are looked for in arcs alone, which WithArcs copies.
		t, conflicts, err := g.Earliest()
		for _, c := range conflicts {
			if c.Pin >= 0 {
				panic("pins are not for this oracle")
			}
		}
		if err != nil || len(conflicts) > 0 {
			return false
		}
		if overload(p, &t) < 0 {
			return true
		}
		if k == len(pairs) {
			return false
		}
		a, b := &p.Uses[pairs[k][0]], &p.Uses[pairs[k][1]]
		for _, arc := range []network.Arc{precede(a.To, b.From, a.Limit), precede(b.To, a.From, a.Limit)} {
			if arc.From == arc.To || p.heldAlready(a) && arc.To == a.From || p.heldAlready(b) && arc.To == b.From {
				continue
			}
			arcs = append(arcs, arc)
			ok := try(k + 1)
			arcs = arcs[:len(arcs)-1]
			if ok {
				return true
			}
		}
		return try(k + 1)
	}
	return try(0), true
}

// TestSetsAreSmallestByEveryOrder holds contradicting sets against all orders there
// are: none keeps the set, and without any one statement of it some order does.
func TestSetsAreSmallestByEveryOrder(t *testing.T) {
	sets, found, open := 0, 0, 0
	for seed := range uint64(400) {
		p, early, late := problem(t, seed, randomjob.Size{Steps: 20, Tight: 70, Without: randomjob.Pins | randomjob.Dues})
		best, kept := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 2, Raises: 10})
		if kept && len(best.Barred) == 0 {
			continue
		}
		r := Keep(p, &early, &best, 3000)
		switch {
		case r.Found:
			found++
			if k := broken(p.Graph, &r.Schedule.Times); k >= 0 {
				t.Fatalf("seed %d: arc %+v is not kept", seed, p.Graph.Arcs[k])
			}
			if u := overload(p, &r.Schedule.Times); u >= 0 {
				t.Fatalf("seed %d: limit %+v is claimed twice", seed, p.Limits[p.Uses[u].Limit])
			}
			continue
		case r.Set == nil || !r.Set.Smallest:
			open++
			continue
		}
		c := newContradicting(p, &best)
		ask := func(claims []Claim) (can, known bool) {
			q := NewProblem(p.Graph.Again(c.network(&part{r.Set.Steps, claims}), c.asOf))
			if len(q.Barred) > 0 {
				return false, true
			}
			return possible(q)
		}
		can, known := ask(inOrder(r.Set.Claims))
		if !known {
			continue
		}
		sets++
		if can {
			t.Errorf("seed %d: some order keeps all of %+v", seed, r.Set.Claims)
		}
		for k := range r.Set.Claims {
			less := append(append([]Claim(nil), r.Set.Claims[:k]...), r.Set.Claims[k+1:]...)
			if can, known := ask(inOrder(less)); known && !can {
				t.Errorf("seed %d: without %+v no order keeps the rest of %+v", seed, r.Set.Claims[k], r.Set.Claims)
			}
		}
	}
	t.Logf("%d sets held against every order, %d schedules found after all, %d open", sets, found, open)
	if sets < 20 || found < 5 || open > 5 {
		t.Errorf("%d sets, %d found, %d open: the test shows little", sets, found, open)
	}
}

// inOrder puts waits before their most times.
func inOrder(claims []Claim) []Claim {
	var list []Claim
	for kind := FactClaim; kind <= PinClaim; kind++ {
		for _, c := range claims {
			if c.Kind == kind {
				list = append(list, c)
			}
		}
	}
	return list
}
