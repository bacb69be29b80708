package worktime_test

import (
	"math/rand/v2"
	"testing"

	. "gaugerod/scheduler/worktime"
)

// Fit and FitBy are what the four functions say one after the other, on calendars
// with stretches and gaps of all lengths, before and after them too.
func TestFitIsTheFourFunctions(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 4))
		var open, shut []Instant
		end := Instant(100)
		for range rng.IntN(12) {
			from := end + Instant(1+rng.IntN(30))
			end = from + Instant(1+rng.IntN(30))
			open, shut = append(open, from), append(shut, end)
		}
		for _, c := range []*Calendar{FromStretches(open, shut), Continuous()} {
			for at := Instant(90); at < end+20; at++ {
				for d := int64(1); d < 70; d += 1 + rng.Int64N(9) {
					compareFit(t, c, at, d)
				}
			}
		}
	}
}

func compareFit(t *testing.T, c *Calendar, at Instant, d int64) {
	t.Helper()
	start := c.NextOpen(at)
	finish := start
	if start.Known() {
		finish = c.First(c.Work(start) + d)
	}
	if s, f := c.Fit(at, d); s != start || f != finish {
		t.Fatalf("%d minutes from %d: %d to %d, want %d to %d", d, at, s, f, start, finish)
	}
	start = c.Last(c.Work(at) - d)
	finish = start
	if start.Known() {
		finish = c.First(c.Work(at))
	}
	if s, f := c.FitBy(at, d); s != start || f != finish {
		t.Fatalf("%d minutes by %d: %d to %d, want %d to %d", d, at, s, f, start, finish)
	}
}
