package levelling

import (
	"math/rand/v2"
	"testing"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// hurry gives some steps due days about as early as waits alone let them be.
func hurry(p *Problem, early *network.Times, rng *rand.Rand) {
	for i := range p.Graph.Steps() {
		if p.Graph.Progress[i] != network.Done && rng.IntN(3) == 0 {
			p.Graph.Due[i] = early.Finish[i] + worktime.Instant(rng.IntN(3*24*60))
		}
	}
}

// TestStagesKeepWaitsAndLimits takes schedules of random jobs, many of whose steps are
// due early, through all stages.
func TestStagesKeepWaitsAndLimits(t *testing.T) {
	least, open, fewer := 0, 0, 0
	for seed := range uint64(150) {
		p, early, late := problem(t, seed, randomjob.Size{Steps: 25})
		hurry(p, &early, rand.New(rand.NewPCG(seed, 7)))
		first, kept := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 1, Raises: 200})
		if len(p.Barred) > 0 || !kept || len(first.Barred) > 0 {
			continue
		}
		s := NewStages(p, first, &early)
		for range 3 {
			before := s.Best
			s.Run(Effort{LateEnds: 500, DeadEnds: 500}, nil)
			if before.before(&s.Best) {
				t.Fatalf("seed %d: from late %d, last %d to %d, %d", seed, before.Late, before.Last, s.Best.Late, s.Best.Last)
			}
		}
		if k := broken(p.Graph, &s.Best.Times); k >= 0 {
			t.Fatalf("seed %d: arc %+v is not kept", seed, p.Graph.Arcs[k])
		}
		if u := overload(p, &s.Best.Times); u >= 0 {
			t.Fatalf("seed %d: limit %+v is claimed twice", seed, p.Limits[p.Uses[u].Limit])
		}
		if m := p.measured(s.Best.Times); m.Late != s.Best.Late || m.Last != s.Best.Last || s.LeastLate > s.Best.Late || s.Bound > s.Best.Last {
			t.Fatalf("seed %d: late %d, at least %d, last %d, at least %d; measured %d, %d", seed, s.Best.Late, s.LeastLate, s.Best.Last, s.Bound, m.Late, m.Last)
		}
		many, ok := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 60, Raises: 200})
		if ok && len(many.Barred) == 0 && (many.Late < s.LeastLate || many.Late <= s.Best.Late && many.Last < s.Bound) {
			t.Fatalf("seed %d: late %d, last %d, beyond the bounds %d and %d", seed, many.Late, many.Last, s.LeastLate, s.Bound)
		}
		if s.Best.Late < first.Late {
			fewer++
		}
		if unavoidable := p.unavoidable(&early); s.Punctual() && s.Best.Late > unavoidable {
			least++
		} else if !s.Punctual() {
			open++
		}
	}
	t.Logf("%d proven to miss due days by the least there is, more than waits make unavoidable; %d open; %d less late than at first", least, open, fewer)
	if least < 40 || fewer < 10 || open > 20 {
		t.Error("the test shows little")
	}
}

// TestStagesAgainstAllOrders holds proven lateness and finish of small jobs against
// the schedules of all orders there are, one of which is best where there are no
// most times and occupations and all waits run from finishes to starts.
func TestStagesAgainstAllOrders(t *testing.T) {
	checked, missed := 0, 0
	for seed := range uint64(120) {
		p, early, late := problem(t, seed, randomjob.Size{Steps: 6, Without: randomjob.Mosts | randomjob.BuildUps | randomjob.Occupations | randomjob.Pins | randomjob.Facts | randomjob.AllEnds})
		hurry(p, &early, rand.New(rand.NewPCG(seed, 7)))
		n := p.Graph.Steps()
		if n > 7 {
			continue
		}
		first, kept := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 1, Raises: 200})
		if !kept {
			t.Fatalf("seed %d: no schedule", seed)
		}
		s := NewStages(p, first, &early)
		s.Run(Effort{LateEnds: 10000, DeadEnds: 10000}, nil)
		if !s.Punctual() || !s.Shortest {
			t.Fatalf("seed %d: not proven", seed)
		}
		best := first
		serial, order := newSerial(p), make([]int64, n)
		permute(order, 0, func() {
			if o, ok := serial.schedule(order, early.Start, 0); ok && o.before(&best) {
				best = o
			}
		})
		if best.Late != s.Best.Late || best.Last != s.Best.Last {
			t.Fatalf("seed %d: late %d, last %d, but an order gives %d, %d", seed, s.Best.Late, s.Best.Last, best.Late, best.Last)
		}
		checked++
		if best.Late > p.unavoidable(&early) {
			missed++
		}
	}
	t.Logf("%d jobs, %d miss due days because of limits", checked, missed)
	if checked < 50 || missed < 15 {
		t.Error("the test shows little")
	}
}

// permute makes every order of n priorities.
func permute(order []int64, k int64, see func()) {
	if int(k) == len(order) {
		see()
		return
	}
	for i := range order {
		if order[i] == 0 {
			order[i] = k + 1
			permute(order, k+1, see)
			order[i] = 0
		}
	}
}
