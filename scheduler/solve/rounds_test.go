package solve

import (
	"math/rand/v2"
	"testing"

	"gaugerod/scheduler/instance"
	"gaugerod/scheduler/levelling"
)

// crowded is a random instance that short searches leave open.
func crowded(seed uint64) *instance.Problem {
	const steps, limits = 60, 3
	rng := rand.New(rand.NewPCG(seed, 60))
	in := &instance.Problem{Size: make([]int64, limits), Length: make([]int64, steps+2), Use: make([][]int64, limits)}
	for r := range in.Use {
		in.Size[r], in.Use[r] = 12, make([]int64, steps+2)
	}
	for i := 1; i <= steps; i++ {
		in.Length[i] = 1 + rng.Int64N(10)
		for r := range in.Use {
			in.Use[r][i] = 1 + rng.Int64N(9)
		}
		in.Lags = append(in.Lags, instance.Lag{From: 0, To: i}, instance.Lag{From: i, To: steps + 1, Least: in.Length[i]})
		for range 2 {
			if j := i + 1 + rng.IntN(20); j <= steps {
				in.Lags = append(in.Lags, instance.Lag{From: i, To: j, Least: in.Length[i]})
			}
		}
	}
	return in
}

// TestRoundsAreTheSameEachTime runs the same rounds several times: which hand is the
// faster one must not matter, also when nothing shorter has come for a while.
func TestRoundsAreTheSameEachTime(t *testing.T) {
	open, bred, proved := 0, 0, 0
	for seed := range uint64(4) {
		in := crowded(seed)
		var first *levelling.Prover
		for again := range 2 {
			p, early, late, ok := problem(in)
			if !ok {
				t.Fatal("lags alone contradict each other")
			}
			h := begin(p, early, late, horizon(in), never)
			h.up = levelling.NewProver(p, h.down.Best, h.down.Found, early, h.bounds)
			if seed%2 == 1 {
				h.start = -1 << 40 // any bound counts as near
			}
			for n := 0; n < 2 && !h.settled(); n++ {
				if h.idle = idleRounds; h.close() {
					proved++
				}
				h.round(never)
			}
			if h.other != nil {
				bred++
			}
			got := h.result()
			if again == 0 {
				first = got
				if !h.settled() {
					open++
				}
				continue
			}
			if got.Best.Last != first.Best.Last || got.Bound != first.Bound || got.DeadEnds != first.DeadEnds {
				t.Errorf("seed %d: %d, bound %d, %d dead ends, and before %d, %d, %d", seed,
					got.Best.Last, got.Bound, got.DeadEnds, first.Best.Last, first.Bound, first.DeadEnds)
			}
		}
	}
	if open == 0 || bred == 0 || proved == 0 {
		t.Errorf("%d open after the rounds, %d with both breeding, %d rounds with both proving: the test shows little", open, bred, proved)
	}
}

// TestBothHandsStop ends the work in the middle of a round.
func TestBothHandsStop(t *testing.T) {
	in := crowded(1)
	asked := make(chan struct{}, 40)
	r := Instance(in, func() bool {
		select {
		case asked <- struct{}{}:
			return false
		default:
			return true
		}
	})
	if r.Status != Open {
		t.Fatalf("ended as %s", r.Status)
	}
	if err := Check(in, &r); err != nil {
		t.Error(err)
	}
}
