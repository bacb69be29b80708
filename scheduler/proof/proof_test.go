package proof

import (
	"math/rand/v2"
	"testing"
)

// tiny is a random plain model of a few steps with lags both ways and two limits.
func tiny(rng *rand.Rand, occupations bool) *Model {
	n := 4 + rng.IntN(3)
	const horizon = 12
	m := &Model{Lo: make([]int64, n+1), Hi: make([]int64, n+1), Goal: int32(n)}
	length := make([]int64, n+1)
	for i := range n {
		length[i] = int64(1 + rng.IntN(3))
		m.Hi[i] = horizon
		m.Arcs = append(m.Arcs, Arc{From: int32(i), To: int32(n), Lag: length[i]})
	}
	m.Hi[n] = horizon + 3
	for range 3 {
		i, j := rng.IntN(n), rng.IntN(n)
		if i == j {
			continue
		}
		m.Arcs = append(m.Arcs, Arc{From: int32(i), To: int32(j), Lag: int64(rng.IntN(4))})
		if rng.IntN(2) == 0 {
			m.Arcs = append(m.Arcs, Arc{From: int32(j), To: int32(i), Lag: -int64(3 + rng.IntN(4))})
		}
	}
	for range 2 {
		l := Limit{Size: int64(1 + rng.IntN(3))}
		for i := range n {
			if amount := int64(rng.IntN(3)); amount > 0 {
				l.Tasks = append(l.Tasks, Task{From: int32(i), To: int32(i), Amount: min(amount, l.Size)})
			}
		}
		if i, j := rng.IntN(n), rng.IntN(n); occupations && i != j {
			l.Tasks = append(l.Tasks, Task{From: int32(i), To: int32(j), Amount: 1})
		}
		m.Limits = append(m.Limits, l)
	}
	m.Times = &Plain{Length: length, Arcs: m.Arcs}
	return m
}

// keeps says whether starts keep all arcs and limits of a plain model.
func keeps(m *Model, starts []int64) bool {
	for _, a := range m.Arcs {
		if starts[a.To] < starts[a.From]+a.Lag {
			return false
		}
	}
	for _, l := range m.Limits {
		for at := range m.Hi[m.Goal] {
			var sum int64
			for _, t := range l.Tasks {
				if starts[t.From] <= at && at < m.Times.Finish(t.To, starts[t.To]) {
					sum += t.Amount
				}
			}
			if sum > l.Size {
				return false
			}
		}
	}
	return true
}

// shortest is the least start of the goal by trying everything, -1: none.
func shortest(m *Model) int64 {
	n := int(m.Goal)
	starts := make([]int64, n+1)
	best := int64(-1)
	var try func(i int)
	try = func(i int) {
		if i == n {
			starts[n] = 0
			for _, a := range m.Arcs {
				if int(a.To) == n {
					starts[n] = max(starts[n], starts[a.From]+a.Lag)
				}
			}
			if (best < 0 || starts[n] < best) && starts[n] <= m.Hi[n] && keeps(m, starts) {
				best = starts[n]
			}
			return
		}
		for s := m.Lo[i]; s <= m.Hi[i]; s++ {
			if best >= 0 && s+m.Times.Finish(int32(i), 0) >= best {
				break
			}
			starts[i] = s
			ok := true
			for _, a := range m.Arcs {
				if int(a.From) <= i && int(a.To) <= i && starts[a.To] < starts[a.From]+a.Lag {
					ok = false
				}
			}
			if ok {
				try(i + 1)
			}
		}
	}
	try(0)
	return best
}

// search is the shortest by search.
func search(t *testing.T, m *Model, byStart bool) int64 {
	t.Helper()
	s := NewSearch(m)
	s.ByStart(byStart)
	best := int64(-1)
	for {
		outcome, starts := s.Next(1<<40, nil)
		switch {
		case outcome == Refuted:
			return best
		case outcome != Found:
			t.Fatalf("a search without a limit ended with %d", outcome)
		case !keeps(m, starts):
			t.Fatalf("the schedule %v is none", starts)
		case best >= 0 && starts[m.Goal] >= best:
			t.Fatalf("asked for less than %d it found %d", best, starts[m.Goal])
		}
		best = starts[m.Goal]
		s.Follow(starts)
		s.Within(m.Goal, best-1)
	}
}

func TestAgainstTryingEverything(t *testing.T) {
	none := 0
	for seed := range uint64(400) {
		m := tiny(rand.New(rand.NewPCG(seed, 1)), seed%2 == 0)
		want := shortest(m)
		if want < 0 {
			none++
		}
		for _, byStart := range []bool{false, true} {
			if got := search(t, m, byStart); got != want {
				t.Fatalf("seed %d: shortest %d, want %d", seed, got, want)
			}
		}
	}
	if none < 15 || none > 250 {
		t.Errorf("%d of 400 models have no schedule: the test shows little", none)
	}
}

// TestASearchCanBeGoneOnWith stops at every dead end and goes on: the end is the same.
func TestASearchCanBeGoneOnWith(t *testing.T) {
	stops := 0
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 1))
		m := tiny(rng, true)
		want := search(t, m, false)
		s, best := NewSearch(m), int64(-1)
		for {
			before := s.Steps()
			outcome, starts := s.Next(1, nil)
			if s.Steps() > before+1 {
				t.Fatalf("seed %d: %d dead ends instead of one", seed, s.Steps()-before)
			}
			if outcome == Refuted {
				break
			}
			if outcome == Unfinished {
				stops++
				continue
			}
			best = starts[m.Goal]
			s.Within(m.Goal, best-1)
		}
		if best != want {
			t.Fatalf("seed %d: shortest %d, want %d", seed, best, want)
		}
	}
	if stops < 30 {
		t.Errorf("it stopped only %d times: the test shows little", stops)
	}
}

func TestSearchIsTheSameEachTime(t *testing.T) {
	for seed := range uint64(50) {
		first := NewSearch(tiny(rand.New(rand.NewPCG(seed, 1)), true))
		again := NewSearch(tiny(rand.New(rand.NewPCG(seed, 1)), true))
		_, a := first.Next(1000, nil)
		_, b := again.Next(1000, nil)
		for x := range a {
			if a[x] != b[x] {
				t.Fatalf("seed %d: %v and %v", seed, a, b)
			}
		}
		if first.Steps() != again.Steps() {
			t.Fatalf("seed %d: %d and %d dead ends", seed, first.Steps(), again.Steps())
		}
	}
}

// TestAStepWithoutAStart: a model that leaves a step no start has no schedule. A search
// that takes it up anyway decides about that step for ever.
func TestAStepWithoutAStart(t *testing.T) {
	m := tiny(rand.New(rand.NewPCG(1, 1)), false)
	m.Lo[2], m.Hi[2] = 5, 4
	if outcome, _ := NewSearch(m).Next(100, nil); outcome != Refuted {
		t.Errorf("the search says %v, want Refuted", outcome)
	}
}

func TestLuby(t *testing.T) {
	want := []int64{1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8}
	for k, w := range want {
		if got := Luby(int64(k + 1)); got != w {
			t.Errorf("Luby(%d) = %d, want %d", k+1, got, w)
		}
	}
}
