package levelling

import (
	"testing"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
)

// TestProofsKeepWaitsAndLimits holds what the search finds against the sweeps, and
// its bounds against every schedule that is known.
func TestProofsKeepWaitsAndLimits(t *testing.T) {
	shortest, shorter, open := 0, 0, 0
	for seed := range uint64(300) {
		p, early, late, first, ok := levelled(t, seed, 25)
		if !ok {
			continue
		}
		r := Prove(p, first, &early, 3000)
		if k := broken(p.Graph, &r.Best.Times); k >= 0 {
			t.Fatalf("seed %d: arc %+v is not kept", seed, p.Graph.Arcs[k])
		}
		if u := overload(p, &r.Best.Times); u >= 0 {
			t.Fatalf("seed %d: limit %+v is claimed twice", seed, p.Limits[p.Uses[u].Limit])
		}
		if r.Best.Late > first.Late || r.Best.Last > first.Last || r.Bound > r.Best.Last {
			t.Fatalf("seed %d: from late %d, last %d to %d, %d with bound %d", seed, first.Late, first.Last, r.Best.Late, r.Best.Last, r.Bound)
		}
		many, ok := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 60, Raises: 200})
		if ok && len(many.Barred) == 0 && many.Late <= r.Best.Late && many.Last < r.Bound {
			t.Fatalf("seed %d: a schedule ends at %d, before the bound %d", seed, many.Last, r.Bound)
		}
		switch {
		case r.Shortest:
			shortest++
		default:
			open++
		}
		if r.Best.Last < first.Last {
			shorter++
		}
	}
	t.Logf("%d proven the shortest, %d open, %d shorter than the first schedule", shortest, open, shorter)
	if shortest < 150 || shorter < 20 {
		t.Errorf("only %d proofs and %d improvements: the test shows little", shortest, shorter)
	}
}

// levelled is the problem of a random job with a first schedule that keeps everything;
// ok is false where there is none.
func levelled(t *testing.T, seed uint64, steps int) (p *Problem, early, late network.Times, first Schedule, ok bool) {
	t.Helper()
	p, early, late = problem(t, seed, randomjob.Size{Steps: steps})
	if len(p.Barred) > 0 {
		return p, early, late, first, false
	}
	first, kept := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 1, Raises: 200})
	return p, early, late, first, kept && len(first.Barred) == 0
}
