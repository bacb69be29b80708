package network

import (
	"math/rand/v2"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// build lays out a random job as of its own day.
func build(t testing.TB, job *scheduler.Job) *Graph {
	t.Helper()
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	asOf := job.Start
	if job.AsOf != nil {
		asOf = *job.AsOf
	}
	g, err := Build(net, asOf, 6*366)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// within is an instant in the first years of the calendars.
func within(rng *rand.Rand, g *Graph) worktime.Instant {
	return g.AsOf + worktime.Instant(rng.IntN(3*365*24*60))
}

func TestArcsAreInvertible(t *testing.T) {
	for seed := range uint64(20) {
		g := build(t, randomjob.New(seed, randomjob.Size{Steps: 30}))
		rng := rand.New(rand.NewPCG(seed, 1))
		for range 2000 {
			if len(g.Arcs) == 0 {
				break
			}
			a := &g.Arcs[rng.IntN(len(g.Arcs))]
			from, to := within(rng, g), within(rng, g)
			if (g.least(a, from) <= to) != (from <= g.greatest(a, to)) {
				t.Fatalf("seed %d: arc %+v: least(%d) = %d, greatest(%d) = %d", seed, *a, from, g.least(a, from), to, g.greatest(a, to))
			}
		}
	}
}

func TestStartsAndFinishesAreInvertible(t *testing.T) {
	for seed := range uint64(20) {
		g := build(t, randomjob.New(seed, randomjob.Size{Steps: 30}))
		rng := rand.New(rand.NewPCG(seed, 2))
		for range 2000 {
			i := rng.IntN(g.Steps())
			at := within(rng, g)
			s := g.StartFrom(i, at)
			if s < at || g.StartFrom(i, s) != s {
				t.Fatalf("seed %d step %d: start from %d is %d", seed, i, at, s)
			}
			if early := g.StartToFinishAt(i, at); g.FinishOf(i, early) < at || g.StartFrom(i, early) != early || g.earlierStartWorks(i, early, at) {
				t.Fatalf("seed %d step %d: least start to finish at %d is %d", seed, i, at, early)
			}
			if late := g.LastStartToFinishBy(i, at); g.FinishOf(i, late) > at || g.StartFrom(i, late) != late {
				t.Fatalf("seed %d step %d: greatest start to finish by %d is %d", seed, i, at, late)
			} else if next := g.StartFrom(i, late+1); g.FinishOf(i, next) <= at {
				t.Fatalf("seed %d step %d: %d would finish by %d too", seed, i, next, at)
			}
			if late := g.LastStartBy(i, at); late > at || g.StartFrom(i, late) != late || g.StartFrom(i, late+1) <= at {
				t.Fatalf("seed %d step %d: greatest start by %d is %d", seed, i, at, late)
			}
		}
	}
}

// earlierStartWorks says whether a start before s also finishes at or after t.
func (g *Graph) earlierStartWorks(i int, s, t worktime.Instant) bool {
	before := g.LastStartBy(i, s-1)
	return before.Known() && before < s && g.FinishOf(i, before) >= t
}

// slowEarliest is the earliest dates by trying every arc again until none moves.
func slowEarliest(g *Graph) []worktime.Instant {
	t := NewTimes(g.Steps())
	settle := func(i int, s worktime.Instant) {
		t.Start[i], t.Finish[i] = s, g.FinishOf(i, s)
		if g.Progress[i] == Done {
			t.Start[i], t.Finish[i] = g.Began[i], g.Ended[i]
		}
	}
	for i := range g.Steps() {
		settle(i, g.StartFrom(i, g.Release[i]))
	}
	for moved := true; moved; {
		moved = false
		for k := range g.Arcs {
			a := &g.Arcs[k]
			if a.Dropped || g.Progress[a.To] == Done || a.Most && g.Fixed(a.To, a.ToEnd) {
				continue
			}
			if s, _ := g.LeastStart(a, &t); s > t.Start[a.To] {
				settle(int(a.To), s)
				moved = true
			}
		}
	}
	return t.Start
}

func TestEarliestIsTheLeastFixedPoint(t *testing.T) {
	for seed := range uint64(200) {
		g := build(t, randomjob.New(seed, randomjob.Size{Steps: 40, Tight: 20}))
		early, _, err := g.Earliest()
		if err != nil {
			t.Fatal(err)
		}
		want := slowEarliest(g)
		for i := range want {
			if early.Start[i] != want[i] {
				t.Fatalf("seed %d step %s: earliest %d, want %d", seed, g.Net.Steps[i].ID, early.Start[i], want[i])
			}
		}
	}
}

func TestLatestIsTheGreatest(t *testing.T) {
	for seed := range uint64(200) {
		g := build(t, randomjob.New(seed, randomjob.Size{Steps: 40}))
		early, _, err := g.Earliest()
		if err != nil {
			t.Fatal(err)
		}
		bounds, _ := g.Bounds(LastFinish(&early))
		late, _, err := g.Latest(bounds)
		if err != nil {
			t.Fatal(err)
		}
		for k := range g.Arcs {
			a := &g.Arcs[k]
			if !g.limits(a) {
				continue
			}
			if s := g.GreatestStart(a, &late); s < late.Start[a.From] {
				t.Fatalf("seed %d: %s is later than its wait allows", seed, g.Net.Steps[a.From].ID)
			}
		}
		for i := range g.Steps() {
			if g.Progress[i] == Done {
				continue
			}
			if late.Finish[i] > bounds[i] || late.Start[i] > g.Upper[i] {
				t.Fatalf("seed %d: %s is later than its bound", seed, g.Net.Steps[i].ID)
			}
			if next := g.StartFrom(i, late.Start[i]+1); g.couldBe(i, next, bounds[i], &late) {
				t.Fatalf("seed %d: %s could be later", seed, g.Net.Steps[i].ID)
			}
		}
	}
}

// couldBe says whether step i could start at s, all else at its latest.
func (g *Graph) couldBe(i int, s, bound worktime.Instant, late *Times) bool {
	if !s.Known() || g.FinishOf(i, s) > bound || s > g.Upper[i] {
		return false
	}
	for _, a := range g.Out(i) {
		if int(a.To) != i && s > g.GreatestStart(&a, late) {
			return false
		}
	}
	return true
}

func TestMirrorTwiceIsTheSame(t *testing.T) {
	g := build(t, randomjob.New(7, randomjob.Size{Steps: 40, Without: randomjob.Facts}))
	m := g.Mirror().Mirror()
	rng := rand.New(rand.NewPCG(7, 3))
	for range 1000 {
		i, at := rng.IntN(g.Steps()), within(rng, g)
		if g.StartFrom(i, at) != m.StartFrom(i, at) || g.FinishOf(i, g.StartFrom(i, at)) != m.FinishOf(i, m.StartFrom(i, at)) {
			t.Fatalf("step %d at %d differs", i, at)
		}
	}
}
