package levelling

import (
	"testing"

	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// TestBreedingCanBeGoneOnWith breeds in portions, over several new beginnings: the
// best never gets worse, holds, and is the same as when bred at once.
func TestBreedingCanBeGoneOnWith(t *testing.T) {
	better, began := 0, 0
	for seed := range uint64(40) {
		p, early, late := problem(t, seed, randomjob.Size{Steps: 30, Tight: 30})
		if len(p.Barred) > 0 {
			continue
		}
		bound := worktime.Ever
		a := NewBreeder(p, &early, &late, 3, 20)
		first := a.Best
		for range 40 {
			before, kept := a.Best, a.Kept
			a.Run(15, bound, nil)
			if kept && (!a.Kept || before.before(&a.Best)) {
				t.Fatalf("seed %d: the best got worse", seed)
			}
		}
		if a.size > 3 {
			began++
		}
		b := NewBreeder(p, &early, &late, 3, 20)
		b.Offer(a.Best)
		if !b.Kept || a.Best.before(&b.Best) {
			t.Fatalf("seed %d: the schedule offered was not taken", seed)
		}
		if !a.Kept || len(a.Best.Barred) > 0 {
			continue
		}
		if k := broken(p.Graph, &a.Best.Times); k >= 0 {
			t.Fatalf("seed %d: arc %+v is not kept", seed, p.Graph.Arcs[k])
		}
		if u := overload(p, &a.Best.Times); u >= 0 {
			t.Fatalf("seed %d: limit %+v is claimed twice", seed, p.Limits[p.Uses[u].Limit])
		}
		if a.Best.before(&first) {
			better++
		}
	}
	if better < 5 || began < 5 {
		t.Errorf("%d better than the first, %d new beginnings: the test shows little", better, began)
	}
}

// TestThreeWaysOfSearching takes jobs with few schedules to their ends by planning
// parts anew and by raising the bound, beside the search downwards.
func TestThreeWaysOfSearching(t *testing.T) {
	raised, agreed := 0, 0
	for seed := range uint64(80) {
		p, early, _, first, ok := levelled(t, seed, 20)
		if !ok {
			continue
		}
		bounds := make([]worktime.Instant, p.Graph.Steps())
		for i := range bounds {
			bounds[i] = worktime.Never
		}
		down, up, part := NewProver(p, first, true, &early, bounds), NewProver(p, first, true, &early, bounds), NewProver(p, first, true, &early, bounds)
		down.Run(4000, nil)
		from := up.Bound
		up.Aloof()
		up.Raise(4000, nil)
		if up.Bound > from {
			raised++
		}
		part.Revise(1000, nil)
		for _, v := range []*Prover{up, part} {
			if down.Shortest && (v.Bound > down.Best.Last || v.Best.Last < down.Best.Last) {
				t.Fatalf("seed %d: %d with bound %d, proven is %d", seed, v.Best.Last, v.Bound, down.Best.Last)
			}
			if k := broken(p.Graph, &v.Best.Times); k >= 0 {
				t.Fatalf("seed %d: arc %+v is not kept", seed, p.Graph.Arcs[k])
			}
			if u := overload(p, &v.Best.Times); u >= 0 {
				t.Fatalf("seed %d: limit %+v is claimed twice", seed, p.Limits[p.Uses[u].Limit])
			}
		}
		if down.Shortest && up.Shortest {
			agreed++
		}
		if up.Lower(down.Bound); down.Shortest && up.Bound != down.Best.Last {
			t.Fatalf("seed %d: a proven bound %d was not taken", seed, down.Bound)
		}
	}
	if raised < 5 || agreed < 20 {
		t.Errorf("%d bounds raised, %d proven both ways: the test shows little", raised, agreed)
	}
}
