package network

import (
	"slices"
	"testing"

	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// sizes are jobs of all kinds: loose and tight, with every feature and without
// what stops a sweep early.
var sizes = []randomjob.Size{
	{Steps: 40},
	{Steps: 60, Tight: 30},
	{Steps: 30, Tight: 80},
	{Steps: 80, Without: randomjob.Pins},
	{Steps: 50, Tight: 40, Without: randomjob.Facts | randomjob.Pins},
}

// TestSweepIsLabelCorrecting: whether one begins with a sweep or from nothing, the
// dates, the contradiction found and the arcs by which it was found are the same.
func TestSweepIsLabelCorrecting(t *testing.T) {
	swept, continued := 0, 0
	for seed := range uint64(300) {
		g := build(t, randomjob.New(seed, sizes[seed%uint64(len(sizes))]))
		for {
			one, two := newForward(g), newForward(g)
			one.lanes = g.lanes(false)
			conflict, err := one.run()
			want, wantErr := two.fromNothing()
			if err != wantErr || (conflict == nil) != (want == nil) {
				t.Fatalf("seed %d: a sweep first gives %+v, %v, labels alone %+v, %v", seed, conflict, err, want, wantErr)
			}
			if err != nil {
				break
			}
			if conflict == nil {
				if !slices.Equal(one.t.Start, two.t.Start) || !slices.Equal(one.t.Finish, two.t.Finish) {
					t.Fatalf("seed %d: a sweep first gives other dates", seed)
				}
				if !one.sweep() {
					t.Fatalf("seed %d: a sweep gives up where nothing is wrong", seed)
				}
				if one.round == 0 {
					swept++
				} else {
					continued++
				}
				break
			}
			if !slices.Equal(conflict.Arcs, want.Arcs) || conflict.Pin != want.Pin || conflict.Fact != want.Fact {
				t.Fatalf("seed %d: a sweep first finds %+v, labels alone %+v", seed, conflict, want)
			}
			one.shrink(conflict)
			g.drop(conflict)
		}
	}
	if swept < 20 || continued < 20 {
		t.Errorf("%d jobs were dated by one sweep and %d by more: the test shows little", swept, continued)
	}
}

// slowLatest is the latest dates by trying every arc again until none moves.
func slowLatest(g *Graph, bound []worktime.Instant) (start, finishBy []worktime.Instant) {
	t := NewTimes(g.Steps())
	finishBy = make([]worktime.Instant, g.Steps())
	settle := func(i int, s worktime.Instant) { t.Start[i], t.Finish[i] = s, g.FinishOf(i, s) }
	for i := range g.Steps() {
		if g.Progress[i] == Done {
			t.Start[i], t.Finish[i], finishBy[i] = g.Began[i], g.Ended[i], g.Ended[i]
			continue
		}
		finishBy[i] = bound[i]
		settle(i, min(g.LastStartToFinishBy(i, bound[i]), g.LastStartBy(i, g.Upper[i])))
	}
	for moved := true; moved; {
		moved = false
		for k := range g.Arcs {
			a := &g.Arcs[k]
			if !g.limits(a) {
				continue
			}
			if s := g.GreatestStart(a, &t); s < t.Start[a.From] {
				settle(int(a.From), s)
				moved = true
			}
			if a.FromEnd == 1 {
				finishBy[a.From] = min(finishBy[a.From], g.greatest(a, g.upTo(a, &t)))
			}
		}
	}
	return t.Start, finishBy
}

func TestLatestIsTheGreatestFixedPoint(t *testing.T) {
	for seed := range uint64(200) {
		g := build(t, randomjob.New(seed, sizes[seed%uint64(len(sizes))]))
		early, _, err := g.Earliest()
		if err != nil {
			t.Fatal(err)
		}
		bound, _ := g.Bounds(LastFinish(&early))
		late, finishBy, err := g.Latest(bound)
		if err != nil {
			continue
		}
		start, by := slowLatest(g, bound)
		for i := range start {
			if late.Start[i] != start[i] || finishBy[i] != by[i] {
				t.Fatalf("seed %d step %s: latest start %d, finish by %d, want %d, %d",
					seed, g.Net.Steps[i].ID, late.Start[i], finishBy[i], start[i], by[i])
			}
		}
	}
}

// large is a network on which one sweep does, with its latest bounds.
func large(t testing.TB) (*Graph, []worktime.Instant) {
	t.Helper()
	net, err := expand.Expand(randomjob.Plain(3, 4000, 10_000))
	if err != nil {
		t.Fatal(err)
	}
	g, err := Build(net, net.Job.Start, 40*366)
	if err != nil {
		t.Fatal(err)
	}
	early, _, err := g.Earliest()
	if err != nil {
		t.Fatal(err)
	}
	bound, _ := g.Bounds(LastFinish(&early))
	return g, bound
}

func TestSweepsAllocateNothing(t *testing.T) {
	g, bound := large(t)
	f, b := newForward(g), newBackward(g)
	f.lanes = g.lanes(false)
	if n := testing.AllocsPerRun(5, func() {
		if !f.sweep() || f.pushedBack() {
			t.Fatal("one sweep forwards does not do")
		}
	}); n > 0 {
		t.Errorf("a sweep forwards allocates %v times", n)
	}
	if n := testing.AllocsPerRun(5, func() {
		if !b.sweep(bound) {
			t.Fatal("the calendars do not reach")
		}
	}); n > 0 {
		t.Errorf("a sweep backwards allocates %v times", n)
	}
}

// Least times run forwards in the order of ranks, which else is that of the file.
func TestOrderOfRanks(t *testing.T) {
	job := small("a", "b", "c", "d", "e")
	for _, w := range [][2]int{{4, 1}, {1, 2}, {0, 2}} {
		job.Waits = append(job.Waits, after(job.Tasks[w[0]].ID, job.Tasks[w[1]].ID))
	}
	g := lay(t, job)
	if want := []int32{0, 4, 1, 2, 3}; !slices.Equal(g.order, want) {
		t.Errorf("the order is %v, want %v", g.order, want)
	}
	for seed := range uint64(40) {
		g := build(t, randomjob.New(seed, randomjob.Size{Steps: 60}))
		seen := make([]bool, g.Steps())
		for r, i := range g.order {
			if seen[i] || int(g.rank[i]) != r {
				t.Fatalf("seed %d: rank %d is not that of step %d alone", seed, r, i)
			}
			seen[i] = true
		}
		for k := range g.Arcs {
			if a := &g.Arcs[k]; !a.Most && g.rank[a.From] >= g.rank[a.To] {
				t.Fatalf("seed %d: arc %+v runs back", seed, *a)
			}
		}
	}
}
