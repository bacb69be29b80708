package levelling

import (
	"math/rand/v2"
	"testing"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// checkSlack dates the chained graph, then moves one step after the other to several
// places within its own slack: what follows is pushed, every wait holds, no limit is
// claimed twice, and no due day moves.
func checkSlack(t *testing.T, seed uint64, p *Problem, arcs []network.Arc) {
	t.Helper()
	h := p.Graph.WithArcs(arcs)
	planned, conflicts, err := h.Earliest()
	if err != nil || len(conflicts) > 0 {
		t.Fatalf("seed %d: the chained graph contradicts itself: %+v, %v", seed, conflicts, err)
	}
	if u := overload(p, &planned); u >= 0 {
		t.Fatalf("seed %d: chained, limit %+v is claimed twice", seed, p.Limits[p.Uses[u].Limit])
	}
	bounds, end := h.Bounds(network.LastFinish(&planned))
	late, _, err := h.Latest(bounds)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(seed, 9))
	for i := range h.Steps() {
		if h.Progress[i] == network.Done || late.Start[i] <= planned.Start[i] {
			continue
		}
		slack := int64(late.Start[i] - planned.Start[i])
		for _, by := range []int64{1, slack / 2, 1 + rng.Int64N(slack), slack} {
			if to := h.StartFrom(i, planned.Start[i]+worktime.Instant(by)); to <= late.Start[i] {
				if moved := checkMove(t, seed, p, h, &planned, end, i, to); moved > late.Start[i] {
					t.Fatalf("seed %d: step %d moved to %d within its slack is pushed out of it to %d", seed, i, to, moved)
				}
			}
		}
	}
}

// checkMove lets one step start later, with all that follows pushed. It returns where
// the step comes to rest: what has to stay near it can find no place in its calendar
// before some later time.
func checkMove(t *testing.T, seed uint64, p *Problem, h *network.Graph, planned *network.Times, end worktime.Instant, i int, to worktime.Instant) worktime.Instant {
	t.Helper()
	least := make([]worktime.Instant, h.Steps())
	for k := range least {
		least[k] = worktime.Ever
	}
	least[i] = to
	moved, conflicts, err := h.EarliestFrom(least)
	if err != nil || len(conflicts) > 0 {
		t.Fatalf("seed %d: step %d moved to %d within its slack contradicts %+v, %v", seed, i, to, conflicts, err)
	}
	if k := broken(p.Graph, &moved); k >= 0 {
		t.Fatalf("seed %d: step %d moved to %d within its slack breaks %+v", seed, i, to, p.Graph.Arcs[k])
	}
	if u := overload(p, &moved); u >= 0 {
		t.Fatalf("seed %d: step %d moved to %d within its slack overloads %+v", seed, i, to, p.Limits[p.Uses[u].Limit])
	}
	for k, due := range h.Due {
		if h.Progress[k] == network.Done {
			continue
		}
		if moved.Start[k] > h.Upper[k] || moved.Finish[k] > end || due.Known() && moved.Finish[k] > max(due, planned.Finish[k]) {
			t.Fatalf("seed %d: step %d moved to %d within its slack moves a pin, the end or a due day of step %d", seed, i, to, k)
		}
	}
	return moved.Start[i]
}

// TestChainsLeaveSlack holds chainings for the most slack against plain ones, and moves
// steps about in the slack that they leave.
func TestChainsLeaveSlack(t *testing.T) {
	more := 0
	for seed := range uint64(40) {
		p, early, late := problem(t, seed, randomjob.Size{Steps: 60})
		best, kept := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 4, Raises: 200})
		if len(p.Barred) > 0 || !kept || len(best.Barred) > 0 {
			continue
		}
		plain, loose := loosened(p, &best, 1), loosened(p, &best, 24)
		if !plain.date() || loose.reach.Late != plain.reach.Late || loose.reach.Last > plain.reach.Last || loose.slack < plain.slack {
			t.Fatalf("seed %d: slack of %d with late %d, last %d, plainly chained %d with %d, %d", seed,
				loose.slack, loose.reach.Late, loose.reach.Last, plain.slack, plain.reach.Late, plain.reach.Last)
		}
		if loose.slack > plain.slack {
			more++
		}
		checkSlack(t, seed, p, loose.all())
	}
	t.Logf("%d of 40 jobs have more slack", more)
	if more < 10 {
		t.Error("the test shows little")
	}
}
