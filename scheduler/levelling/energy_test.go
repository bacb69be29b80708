package levelling

import (
	"math/rand/v2"
	"testing"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// TestBoundsByLoadHold holds bounds by load against the finish of schedules that are
// proven the shortest, whatever the due days.
func TestBoundsByLoadHold(t *testing.T) {
	met, raised := 0, 0
	for seed := range uint64(200) {
		p, early, late := problem(t, seed, randomjob.Size{Steps: 20, Without: randomjob.Dues})
		first, kept := Level(p, &early, &late, network.LastFinish(&early), Effort{Schedules: 20, Raises: 200})
		if len(p.Barred) > 0 || !kept || len(first.Barred) > 0 {
			continue
		}
		load, ok := BoundByLoad(p, &early, worktime.Ever)
		if !ok {
			continue
		}
		raised++
		for _, guess := range []worktime.Instant{0, load.Bound, load.Bound - 1, load.Bound + 1, load.Bound - 700, load.Bound + 5000, load.Bound + 400_000, worktime.Never} {
			if again, ok := BoundByLoad(p, &early, guess); !ok || again != load {
				t.Fatalf("seed %d: from the guess %d on the bound is %+v, not %+v", seed, guess, again, load)
			}
		}
		r := Prove(p, first, &early, 3000)
		if load.Bound > r.Best.Last || load.Bound <= network.LastFinish(&early) {
			t.Fatalf("seed %d: the load of %+v bounds the finish by %d; a schedule ends at %d, the longest chain at %d", seed, p.Limits[load.Limit], load.Bound, r.Best.Last, network.LastFinish(&early))
		}
		if load.Bound == r.Best.Last {
			met++
		}
	}
	t.Logf("%d bounds by load, %d of them met", raised, met)
	if raised < 20 || met < 5 {
		t.Error("the test shows little")
	}
}

// TestEnvelopeSeesWhatLookingAtEachPairSees holds the tree against the plain sums, on
// crowds of random work.
func TestEnvelopeSeesWhatLookingAtEachPairSees(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2009))
	calendar := &worktime.Calendar{}
	over := 0
	const rounds = 3000
	for range rounds {
		n := 1 + rng.IntN(12)
		c := crowd{calendar: calendar}
		for k := range n {
			from := rng.Int64N(60) - 20
			c.from, c.energy = append(c.from, from), append(c.energy, 1+rng.Int64N(20))
			c.until = append(c.until, from+rng.Int64N(60)-5)
			c.order = append(c.order, latest{c.until[k], int32(k)})
			c.steps = append(c.steps, int32(k))
		}
		c.inOrder()
		size := 1 + rng.Int64N(4)
		_, is := c.overloaded(size)
		if got := newEnvelope(c.from).overloaded(&c, size); got != is {
			t.Fatalf("%+v with room for %d: %v, but by sums %v", c, size, got, is)
		}
		if is {
			over++
		}
	}
	if over < rounds/10 || over > rounds*9/10 {
		t.Errorf("the test shows little: %d of %d crowds have too much to do", over, rounds)
	}
}
