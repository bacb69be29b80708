package levelling

import (
	"math/rand/v2"
	"testing"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/proof"
	"gaugerod/scheduler/randomjob"
)

// TestJoiningKeepsWaitsAndLimits joins the visits of random jobs' schedules and holds
// the result, and the bound on visits, against every schedule that is known.
func TestJoiningKeepsWaitsAndLimits(t *testing.T) {
	fewer, least, open := 0, 0, 0
	var before, after, bound int
	for seed := range uint64(150) {
		p, early, late := problem(t, seed, randomjob.Size{Steps: 30})
		first, kept := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 10, Raises: 200})
		if len(p.Barred) > 0 || !kept || len(first.Barred) > 0 {
			continue
		}
		best := Prove(p, first, &early, 500).Best
		j := NewJoining(p, best, &early)
		had := j.Visits
		for range 4 {
			j.Run(200, nil)
		}
		if k := broken(p.Graph, &j.Best.Times); k >= 0 {
			t.Fatalf("seed %d: arc %+v is not kept", seed, p.Graph.Arcs[k])
		}
		if u := overload(p, &j.Best.Times); u >= 0 {
			t.Fatalf("seed %d: limit %+v is claimed twice", seed, p.Limits[p.Uses[u].Limit])
		}
		visits, trades := CountVisits(p, &j.Best.Times)
		if m := p.measured(j.Best.Times); m.Late > best.Late || m.Last > best.Last || visits != j.Visits || j.Visits > had || j.Visits < j.Least || j.Least < trades {
			t.Fatalf("seed %d: late %d, last %d, %d visits of %d trades became %d, %d, %d, at least %d", seed, best.Late, best.Last, had, trades, m.Late, m.Last, visits, j.Least)
		}
		for s := range uint64(5) {
			o, ok := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 3 + int(s), Raises: 200})
			if !ok || len(o.Barred) > 0 || o.Late > best.Late || o.Last > best.Last {
				continue
			}
			if n, _ := CountVisits(p, &o.Times); n < j.Least {
				t.Fatalf("seed %d: a schedule has %d visits, the bound is %d", seed, n, j.Least)
			}
		}
		before, after, bound = before+had, after+j.Visits, bound+j.Least
		if j.Visits < had {
			fewer++
		}
		if j.Visits == j.Least {
			least++
		} else {
			open++
		}
	}
	t.Logf("%d visits became %d, at least %d; fewer in %d jobs; proven the fewest in %d, open in %d", before, after, bound, fewer, least, open)
	if fewer < 50 || least < 10 {
		t.Error("the test shows little")
	}
}

// TestNoScheduleHasFewerVisits makes schedules in which trades come together late, drawn
// by lot, as punctual and as short as the best: none has fewer visits than the bound.
func TestNoScheduleHasFewerVisits(t *testing.T) {
	schedules, met := 0, 0
	for seed := range uint64(60) {
		p, early, late := problem(t, seed, randomjob.Size{Steps: 8 + int(seed%8)})
		first, kept := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 10, Raises: 200})
		if len(p.Barred) > 0 || !kept || len(first.Barred) > 0 {
			continue
		}
		best := Prove(p, first, &early, 500).Best
		j := NewJoining(p, best, &early)
		rng := rand.New(rand.NewPCG(seed, 13))
		bounds, sum := p.punctual(best.Late, &early)
		for range 30 {
			m, ok := newModel(p, &early, bounds, best.Last)
			if !ok {
				t.Fatalf("seed %d: no model", seed)
			}
			m.Sum = sum
			for _, steps := range j.v.steps {
				from := best.Start[steps[rng.IntN(len(steps))]]
				for _, i := range steps {
					if lo := min(int64(p.Graph.StartFrom(int(i), from)), m.Hi[i]); rng.IntN(4) > 0 && p.Graph.Progress[i] == network.Open {
						m.Lo[i] = max(m.Lo[i], lo)
					}
				}
			}
			if outcome, starts := proof.NewSearch(m).Next(50, nil); outcome == proof.Found {
				schedules++
				s := p.scheduleOf(starts)
				n := j.v.count(&s.Times)
				if s.Late > best.Late || s.Last > best.Last || n < j.Least {
					t.Fatalf("seed %d: late %d, last %d, %d visits; the bounds are %d, %d, %d", seed, s.Late, s.Last, n, best.Late, best.Last, j.Least)
				}
				if n == j.Least {
					met++
				}
			}
		}
	}
	t.Logf("%d schedules, %d meet the bound", schedules, met)
	if schedules < 300 || met < 30 {
		t.Error("the test shows little")
	}
}
