package published_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"gaugerod/scheduler/instance"
)

// TestSmallInstancesAgainstMinizinc holds our solver against a general one on small
// random instances: the same shortest end, or the same word that there is no schedule.
func TestSmallInstancesAgainstMinizinc(t *testing.T) {
	needMinizinc(t)
	t.Parallel()
	const instances = 300
	claims := make([]claim, instances)
	without := 0
	for k := range claims {
		in := smallInstance(uint64(k))
		claims[k] = claimOf(t, in)
		if claims[k].end == none {
			without++
		}
	}
	if without < instances/10 || without > instances/3 {
		t.Errorf("%d of %d have no schedule: the instances do not ask enough", without, instances)
	}
	if n := holdClaims(t, claims, 10); n > 2 {
		t.Errorf("%d of %d are not answered", n, instances)
	}
}

// TestMinizincFindsTheSameByItself: a few instances of which it is not told what we found.
func TestMinizincFindsTheSameByItself(t *testing.T) {
	needMinizinc(t)
	t.Parallel()
	for seed := range uint64(12) {
		in := smallInstance(1000 + seed)
		end, proven := theirs(t, in, 20*time.Second)
		if c := claimOf(t, in); !proven || end != c.end {
			t.Errorf("%s: the general solver says %d, proven %v; ours %d", in.Name, end, proven, c.end)
		}
	}
}

// TestHoldingClaimsFindsWrongOnes: a claim that is too long or too short, or that
// there is no schedule, must be found out.
func TestHoldingClaimsFindsWrongOnes(t *testing.T) {
	needMinizinc(t)
	in := smallInstance(0)
	right := claimOf(t, in).end
	if right == none {
		t.Fatal("the instance has no schedule")
	}
	for end, want := range map[int64]bool{right + 1: true, right - 1: true, none: true, right: false} {
		wrong, answered := wrongAmong(t, []claim{{in, end}}, 20*time.Second)
		if !answered || (wrong != "") != want {
			t.Errorf("the end is %d; of the claim %d is said: %q, answered %v", right, end, wrong, answered)
		}
	}
}

// smallInstance is one with 8 to 12 steps between the first and the last, one to
// three limits, and least and most times, of which the most times are often too short.
func smallInstance(seed uint64) *instance.Problem {
	rng := rand.New(rand.NewPCG(seed, 8))
	between := func(low, high int) int { return low + rng.IntN(high-low+1) }
	n := between(8, 12)
	in := &instance.Problem{Name: fmt.Sprintf("small-%d", seed), Length: make([]int64, n+2)}
	for i := 1; i <= n; i++ {
		in.Length[i] = int64(between(1, 6))
		in.Lags = append(in.Lags, instance.Lag{From: 0, To: i}, instance.Lag{From: i, To: n + 1, Least: in.Length[i]})
	}
	for range between(n/2, n) {
		i := between(1, n-1)
		j := between(i+1, n)
		least := in.Length[i]
		if rng.IntN(3) == 0 {
			least = int64(between(0, 8))
		}
		in.Lags = append(in.Lags, instance.Lag{From: i, To: j, Least: least})
		if rng.IntN(3) == 0 {
			in.Lags = append(in.Lags, instance.Lag{From: j, To: i, Least: -least - int64(between(0, 6))})
		}
	}
	for range between(1, 3) {
		size, use := between(2, 4), make([]int64, n+2)
		for i := 1; i <= n; i++ {
			use[i] = int64(max(0, between(-1, size-1)))
		}
		in.Size, in.Use = append(in.Size, int64(size)), append(in.Use, use)
	}
	return in
}
