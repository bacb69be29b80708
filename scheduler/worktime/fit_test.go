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

// A calendar of which one part of the ladder holds nearly all stretches, and the
// same backwards, say of every instant what counting says.
func TestUnevenCalendarsCountRight(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	var open, shut []Instant
	for at := Instant(0); at < 400; {
		from := at + Instant(1+rng.IntN(4))
		at = from + Instant(1+rng.IntN(4))
		open, shut = append(open, from), append(shut, at)
	}
	open, shut = append(open, 1_000_000), append(shut, 1_000_010)
	c := FromStretches(open, shut)
	back := c.Reverse()
	work := int64(0)
	for at, k := Instant(0), 0; at < 420; at++ {
		for k < len(shut) && at >= shut[k] {
			k++
		}
		if got := c.Work(at); got != work {
			t.Fatalf("before %d lie %d working minutes, want %d", at, got, work)
		}
		if got := back.Work(-at); got != c.Total()-work {
			t.Fatalf("backwards %d working minutes lie before %d, want %d", got, -at, c.Total()-work)
		}
		if at >= open[k] {
			if got := c.Last(work); got != at {
				t.Fatalf("after %d working minutes the next begins at %d, want %d", work, got, at)
			}
			work++
			if got := c.First(work); got != at+1 {
				t.Fatalf("%d working minutes are done at %d, want %d", work, got, at+1)
			}
		}
	}
}

// A calendar ends where its reach does, some 4,000 years after it begins: it never
// counts round.
func TestACalendarEndsWithItsReach(t *testing.T) {
	const year = 366 * 24 * 60
	c := FromStretches([]Instant{100, 4000 * year, 5000 * year}, []Instant{110, 4500 * year, 5000*year + 10})
	if end := c.End(); end < 4000*year || end > 4500*year || c.Work(Never) != c.Total() || c.Total() != 10+int64(end-4000*year) {
		t.Errorf("ends at %d with %d minutes", c.End(), c.Total())
	}
	if at := c.First(c.Total()); at != c.End() {
		t.Errorf("the last minute ends at %d, the calendar at %d", at, c.End())
	}
	if at := c.NextOpen(c.End()); at != Never {
		t.Errorf("after the end it opens at %d", at)
	}
}
