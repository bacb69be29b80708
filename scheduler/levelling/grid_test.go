package levelling

import (
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// plainProblem is a random problem in real time with least lags and limits.
func plainProblem(t *testing.T, rng *rand.Rand, steps, limits int) (*Problem, *network.Times, *network.Times) {
	t.Helper()
	length := make([]int64, steps)
	var lags []network.Lag
	for i := range length {
		length[i] = rng.Int64N(9)
		for range rng.IntN(3) {
			if j := i + 1 + rng.IntN(6); j < steps {
				lags = append(lags, network.Lag{From: i, To: j, Least: rng.Int64N(length[i] + 4)})
			}
		}
	}
	g := network.Plain(length, lags)
	sizes, uses := make([]Limit, limits), []Use(nil)
	for l := range sizes {
		sizes[l] = Limit{Kind: Gear, Size: 1 + rng.Int32N(12)}
		for i := range length {
			if amount := rng.Int32N(sizes[l].Size + 1); amount > 0 && length[i] > 0 && rng.IntN(3) > 0 {
				uses = append(uses, Use{Limit: int32(l), Amount: amount, From: int32(i), To: int32(i), Occupation: -1})
			}
		}
	}
	early, conflicts, err := g.Earliest()
	if err != nil || len(conflicts) > 0 {
		t.Fatal("least lags alone cannot clash")
	}
	bounds, _ := g.Bounds(network.LastFinish(&early))
	late, _, err := g.Latest(bounds)
	if err != nil {
		t.Fatal(err)
	}
	return Of(g, sizes, uses), &early, &late
}

// TestGridMakesWhatTheSerialSchemeMakes makes schedules of orders by lot both ways, by
// the quick scheme for plain problems and by the one for all.
func TestGridMakesWhatTheSerialSchemeMakes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1975, 1))
	for round := range 300 {
		p, early, _ := plainProblem(t, rng, 2+rng.IntN(40), 1+rng.IntN(5))
		quick := newGrid(p, early)
		if quick == nil {
			t.Fatalf("round %d: a plain problem was not taken for one", round)
		}
		slow := &bothWays{p: p, early: early.Start, raises: 1, forward: newSerial(p)}
		for range 5 {
			order := make([]int64, p.Graph.Steps())
			for i := range order {
				order[i] = int64(early.Start[i]) + rng.Int64N(30)
			}
			got, want := quick.ahead(order, false), slow.ahead(slices.Clone(order), false)
			same(t, round, "forwards", got, want)
			s := quick.schedule()
			if w := slow.schedule(); !slices.Equal(s.Start, w.Start) || !slices.Equal(s.Finish, w.Finish) || s.Last != w.Last {
				t.Fatalf("round %d: %v, by the serial scheme %v", round, s.Start, w.Start)
			}
			if u := overload(p, &s.Times); u >= 0 {
				t.Fatalf("round %d: limit %d is claimed twice", round, p.Uses[u].Limit)
			}
			if k := broken(p.Graph, &s.Times); k >= 0 {
				t.Fatalf("round %d: arc %+v is not kept", round, p.Graph.Arcs[k])
			}
			same(t, round, "backwards", quick.back(got.order, &s), slow.back(want.order, &s))
			quick.free(got.order)
		}
	}
}

func same(t *testing.T, round int, way string, got, want parent) {
	t.Helper()
	if got.end != want.end || got.kept != want.kept || !slices.Equal(got.order, want.order) {
		t.Fatalf("round %d, %s: %+v, by the serial scheme %+v", round, way, got, want)
	}
}

// TestGridIsForPlainProblems: whatever a grid would get wrong goes to the scheme for all.
func TestGridIsForPlainProblems(t *testing.T) {
	rng := rand.New(rand.NewPCG(1975, 2))
	for name, spoil := range map[string]func(*Problem){
		"a most time":         func(p *Problem) { p.Graph.Arcs[0].Most = true },
		"a wait set aside":    func(p *Problem) { p.Graph.Arcs[0].Dropped = true },
		"a step on site days": func(p *Problem) { p.Graph.Cal[1] = network.Site },
		"a wait on site days": func(p *Problem) { p.Graph.Arcs[0].Cal = network.Site },
		"a step begun":        func(p *Problem) { p.Graph.Progress[1] = network.Begun },
		"a pin":               func(p *Problem) { p.Graph.Upper[1] = 5 },
		"a due day":           func(p *Problem) { p.Graph.Due[1] = 5 },
		"an occupation":       func(p *Problem) { p.Uses[0].To = p.Uses[0].From + 1 },
		"too large a demand":  func(p *Problem) { p.Uses[0].Amount = p.Limits[p.Uses[0].Limit].Size + 1 },
		"a circle":            func(p *Problem) { a := &p.Graph.Arcs[0]; a.From, a.To = a.To, a.From },
		"a long time":         func(p *Problem) { p.Graph.Rest[1] = longestGrid + 1 },
		"many limits": func(p *Problem) {
			for range 40 {
				p.Limits = append(p.Limits, Limit{Kind: Gear, Size: 1})
			}
		},
	} {
		p, early, _ := plainProblem(t, rng, 40, 3)
		if newGrid(p, early) == nil {
			t.Fatalf("%s: not plain before it was spoiled", name)
		}
		if name == "a circle" {
			p.Graph.Arcs = append(p.Graph.Arcs, p.Graph.Arcs[0])
		}
		spoil(p)
		if newGrid(p, early) != nil {
			t.Errorf("%s: taken for a plain problem", name)
		}
	}
	empty := network.Plain(nil, nil)
	if none := newGrid(Of(empty, nil, nil), &network.Times{}); none == nil || none.ahead(nil, false).end != 0 {
		t.Error("no steps at all end at once")
	}
	p, early, _ := problem(t, 3, randomjob.Size{Steps: 20})
	if newGrid(p, &early) != nil {
		t.Error("a job with calendars was taken for a plain problem")
	}
}

// TestBreedingDoesNotMindPortions breeds a plain problem at once and in portions: both
// make the same schedules, whatever part of a generation a portion ends in.
func TestBreedingDoesNotMindPortions(t *testing.T) {
	rng := rand.New(rand.NewPCG(1975, 3))
	for round := range 20 {
		p, early, late := plainProblem(t, rng, 40, 3)
		a, b := NewBreeder(p, early, late, 10, 1), NewBreeder(p, early, late, 10, 1)
		a.Run(3000, worktime.Ever, nil)
		for b.Made < a.Made {
			b.Run(min(1+rng.IntN(40), a.Made-b.Made), worktime.Ever, nil)
		}
		if a.Made != b.Made || a.size != b.size || !slices.Equal(a.Best.Start, b.Best.Start) || len(a.left) != len(b.left) {
			t.Fatalf("round %d: %d schedules at once end at %d, %d in portions at %d", round, a.Made, a.Best.Last, b.Made, b.Best.Last)
		}
		for k := range a.left {
			same(t, round, "a population bred in portions", b.left[k], a.left[k])
		}
	}
}

// TestSistersBreedAtTheSameTime runs two breeders of a problem side by side: they make
// other schedules, and each the same as alone.
func TestSistersBreedAtTheSameTime(t *testing.T) {
	rng := rand.New(rand.NewPCG(1975, 4))
	differ := 0
	for round := range 10 {
		p, early, late := plainProblem(t, rng, 60, 3)
		var ends [2][2]Schedule
		var populations [2][2][]parent
		for again := range 2 {
			a := NewBreeder(p, early, late, 4, 1)
			a.Run(50, worktime.Ever, nil)
			b := a.Sister()
			if a.Best.before(&b.Best) {
				t.Fatalf("round %d: the sister does not know the best so far", round)
			}
			run := func(b *Breeder) { b.Run(1000, worktime.Ever, nil) }
			if again == 0 {
				run(a)
				run(b)
			} else {
				var both sync.WaitGroup
				both.Go(func() { run(a) })
				both.Go(func() { run(b) })
				both.Wait()
			}
			ends[again], populations[again] = [2]Schedule{a.Best, b.Best}, [2][]parent{a.left, b.left}
		}
		for k := range ends[0] {
			if !slices.Equal(ends[0][k].Start, ends[1][k].Start) {
				t.Errorf("round %d: breeder %d ends at %d alone and at %d beside its sister", round, k, ends[0][k].Last, ends[1][k].Last)
			}
		}
		if populations[0][0][0].mark != populations[0][1][0].mark {
			differ++
		}
	}
	if differ < 5 {
		t.Errorf("%d of 10 sisters bred other schedules: the test shows little", differ)
	}
}
