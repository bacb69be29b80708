package levelling

import (
	"math/rand/v2"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

func TestProfileAgainstMinutes(t *testing.T) {
	const horizon = 60
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 1))
		var p profile
		var minutes [horizon]int32
		for range 12 {
			from, length, amount := rng.IntN(horizon), rng.IntN(20), int32(rng.IntN(3)+1)
			to := min(from+length, horizon)
			p.add(worktime.Instant(from), worktime.Instant(to), amount)
			for m := from; m < to; m++ {
				minutes[m] += amount
			}
			a, most := rng.IntN(horizon), int32(rng.IntN(6))
			b := min(a+rng.IntN(20)+1, horizon)
			end, ok := p.clash(worktime.Instant(a), worktime.Instant(b), most)
			last := -1
			for m := a; m < b; m++ {
				if minutes[m] > most {
					last = m
				}
			}
			if ok != (last < 0) {
				t.Fatalf("seed %d: clash within [%d, %d) above %d: %v, want %v", seed, a, b, most, !ok, last >= 0)
			}
			if !ok && (int(end) <= last || minutes[int(end)-1] <= most) {
				t.Fatalf("seed %d: the last clash within [%d, %d) above %d ends at %d, minute %d clashes", seed, a, b, most, end, last)
			}
		}
	}
}

// problem is a random job without contradictions, ready to be levelled.
func problem(t testing.TB, seed uint64, size randomjob.Size) (*Problem, network.Times, network.Times) {
	t.Helper()
	job := randomjob.New(seed, size)
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	asOf := job.Start
	if job.AsOf != nil {
		asOf = *job.AsOf
	}
	g, err := network.Build(net, asOf, 12*366)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err = g.Earliest(); err != nil {
		t.Fatal(err)
	}
	p := NewProblem(g)
	early, _, err := p.Graph.Earliest()
	if err != nil {
		t.Fatal(err)
	}
	bounds, _ := p.Graph.Bounds(network.LastFinish(&early))
	late, _, err := p.Graph.Latest(bounds)
	if err != nil {
		t.Fatal(err)
	}
	return p, early, late
}

// overload is a use whose limit is claimed beyond its size while it lasts, or -1.
func overload(p *Problem, t *network.Times) int {
	span := func(u *Use) (worktime.Instant, worktime.Instant) {
		from := t.Start[u.From]
		if p.heldAlready(u) {
			from = p.Graph.AsOf
		}
		return from, t.Finish[u.To]
	}
	for x := range p.Uses {
		at, end := span(&p.Uses[x])
		if at >= end {
			continue
		}
		taken := int32(0)
		for y := range p.Uses {
			if from, to := span(&p.Uses[y]); p.Uses[y].Limit == p.Uses[x].Limit && from <= at && at < to {
				taken += p.Uses[y].Amount
			}
		}
		if taken > p.Limits[p.Uses[x].Limit].Size {
			return x
		}
	}
	return -1
}

// broken is an arc that the times do not keep, or -1.
func broken(g *network.Graph, t *network.Times) int {
	for k := range g.Arcs {
		a := &g.Arcs[k]
		if a.Dropped || g.Progress[a.To] == network.Done || a.Most && g.Fixed(a.To, a.ToEnd) {
			continue
		}
		if s, _ := g.LeastStart(a, t); s > t.Start[a.To] {
			return k
		}
	}
	return -1
}

func TestSchedulesKeepWaitsAndLimits(t *testing.T) {
	let, gaveUp := 0, 0
	for seed := range uint64(300) {
		p, early, late := problem(t, seed, randomjob.Size{Steps: 30})
		if len(p.Barred) > 0 {
			let++
			continue
		}
		best, kept := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 12, Raises: 200})
		if !kept {
			gaveUp++
			continue
		}
		if k := broken(p.Graph, &best.Times); k >= 0 {
			t.Fatalf("seed %d: arc %+v is not kept", seed, p.Graph.Arcs[k])
		}
		if u := overload(p, &best.Times); u >= 0 {
			t.Fatalf("seed %d: limit %+v is claimed twice", seed, p.Limits[p.Uses[u].Limit])
		}
		checkSlack(t, seed, p, Chain(p, &best))
		checkSlack(t, seed, p, ChainLoosely(p, &best, 8))
	}
	t.Logf("%d jobs with barred steps, %d in which a most time or pin was given up", let, gaveUp)
	if gaveUp > 15 {
		t.Errorf("%d of 300 jobs were given up", gaveUp)
	}
}

func TestOneCrewIsSharedInTurn(t *testing.T) {
	day := []worktime.Period{{From: 8 * 60, To: 16 * 60}}
	job := &scheduler.Job{
		ID: "turn", Zone: "UTC", Start: worktime.NewDate(2026, 3, 2),
		Week:   worktime.Week{1: day, 2: day, 3: day, 4: day, 5: day},
		Trades: []scheduler.Trade{{ID: "framing", Crews: 1}},
	}
	for _, id := range []scheduler.ID{"a", "b", "c"} {
		job.Tasks = append(job.Tasks, scheduler.Task{ID: id, Work: scheduler.Work{
			Trades: []scheduler.ID{"framing"}, Crews: 1, Takes: worktime.Span{Amount: 2, Unit: worktime.Days},
		}})
	}
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	g, err := network.Build(net, job.Start, 2*366)
	if err != nil {
		t.Fatal(err)
	}
	early, _, err := g.Earliest()
	if err != nil {
		t.Fatal(err)
	}
	bounds, _ := g.Bounds(network.LastFinish(&early))
	late, _, err := g.Latest(bounds)
	if err != nil {
		t.Fatal(err)
	}
	best, kept := Level(NewProblem(g), &early, &late, worktime.Never, DefaultEffort(3))
	if got := best.Last.Time(g.Zone).Format("2006-01-02 15:04"); !kept || got != "2026-03-09 16:00" {
		t.Errorf("six days of one crew end on %s", got)
	}
}
