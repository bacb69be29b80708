package worktime_test

import (
	"math/rand/v2"
	"testing"

	"gaugerod/scheduler/worktime"
)

// TestLongestAgainstEveryStart tries every minute from the first stretch on.
func TestLongestAgainstEveryStart(t *testing.T) {
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 7))
		var open, shut []worktime.Instant
		at := worktime.Instant(100)
		for range rng.IntN(6) + 2 {
			at += worktime.Instant(rng.IntN(30) + 1)
			open = append(open, at)
			at += worktime.Instant(rng.IntN(20) + 1)
			shut = append(shut, at)
		}
		c := worktime.FromStretches(open, shut)
		if c.End() != at {
			t.Fatalf("seed %d: ends at %d, want %d", seed, c.End(), at)
		}
		for w := int64(1); w <= c.Total(); w += 3 {
			want := w
			for from := open[0]; from < at; from++ {
				if to := c.First(c.Work(from) + w); to.Known() {
					want = max(want, int64(to-from))
				}
			}
			if got := c.Longest(w); got != want {
				t.Fatalf("seed %d: %d minutes of work take at most %d, want %d", seed, w, got, want)
			}
		}
	}
	if got := worktime.Continuous().Longest(90); got != 90 {
		t.Errorf("real time takes %d for 90", got)
	}
}
