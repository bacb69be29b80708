package proof

import (
	"math/rand/v2"
	"testing"
)

// TestLowestAgainstTryingEverything raises the goal's least start until a schedule is
// found there: it is the shortest, and the least start never was above it.
func TestLowestAgainstTryingEverything(t *testing.T) {
	raised := 0
	for seed := range uint64(300) {
		m := tiny(rand.New(rand.NewPCG(seed, 1)), seed%2 == 0)
		want := shortest(m)
		s := NewSearch(m)
		if seed%3 == 0 {
			s.Aloof()
		}
		from := s.Least(m.Goal)
		for {
			outcome, starts := s.Lowest(1, nil)
			least := s.Least(m.Goal)
			if want >= 0 && least > want {
				t.Fatalf("seed %d: starts before %d ruled out, the shortest is %d", seed, least, want)
			}
			if outcome == Unfinished {
				continue
			}
			if outcome == Refuted && want >= 0 || outcome == Found && (starts[m.Goal] != want || !keeps(m, starts)) {
				t.Fatalf("seed %d: outcome %d, %v, want %d", seed, outcome, starts, want)
			}
			if want > from {
				raised++
			}
			break
		}
	}
	if raised < 30 {
		t.Errorf("only %d least starts had to rise: the test shows little", raised)
	}
}

// TestPartsPlannedAnew frees parts of schedules by lot. What is found keeps everything
// and is shorter, and what is learned by it holds for the whole.
func TestPartsPlannedAnew(t *testing.T) {
	found, exhausted := 0, 0
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 1))
		m := tiny(rng, seed%2 == 0)
		want := shortest(m)
		s := NewSearch(m)
		outcome, best := s.Next(1<<40, nil)
		if outcome == Refuted {
			continue
		}
		for range 12 {
			s.Within(m.Goal, best[m.Goal]-1)
			free := make([]bool, len(m.Lo))
			for x := range free {
				free[x] = rng.IntN(2) == 0
			}
			outcome, starts, over := s.Near(best, free, 20, nil)
			if outcome == Refuted && want < best[m.Goal] {
				t.Fatalf("seed %d: nothing shorter than %d, the shortest is %d", seed, best[m.Goal], want)
			}
			if outcome != Found {
				if over {
					exhausted++
				}
				continue
			}
			found++
			if !keeps(m, starts) || starts[m.Goal] >= best[m.Goal] {
				t.Fatalf("seed %d: %v from %v", seed, starts, best)
			}
			best = starts
			s.Follow(best)
		}
		s.Within(m.Goal, best[m.Goal]-1)
		for {
			outcome, starts := s.Next(1<<40, nil)
			if outcome == Refuted {
				break
			}
			best = starts
			s.Within(m.Goal, best[m.Goal]-1)
		}
		if best[m.Goal] != want {
			t.Fatalf("seed %d: shortest %d, want %d", seed, best[m.Goal], want)
		}
	}
	if found < 30 || exhausted < 30 {
		t.Errorf("%d parts gave something shorter, %d were done with: the test shows little", found, exhausted)
	}
}

// TestPropagationMakesNoGarbage goes down and back the same ways again and again,
// with clauses learned before.
func TestPropagationMakesNoGarbage(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 30))
	const n = 40
	m := &Model{Lo: make([]int64, n+1), Hi: make([]int64, n+1), Goal: n}
	length := make([]int64, n+1)
	for i := range n {
		length[i] = 1 + rng.Int64N(8)
		m.Hi[i] = 400
		m.Arcs = append(m.Arcs, Arc{From: int32(i), To: n, Lag: length[i]})
		if j := i + 1 + rng.IntN(6); j < n {
			m.Arcs = append(m.Arcs, Arc{From: int32(i), To: int32(j), Lag: length[i]})
		}
	}
	m.Hi[n] = 400
	for range 2 {
		l := Limit{Size: 10}
		for i := range int32(n) {
			l.Tasks = append(l.Tasks, Task{From: i, To: i, Amount: 1 + rng.Int64N(8)})
		}
		m.Limits = append(m.Limits, l)
	}
	m.Times = &Plain{Length: length, Arcs: m.Arcs}
	f := NewSearch(m)
	for {
		outcome, starts := f.Next(400, nil)
		if outcome != Found {
			break
		}
		f.Within(m.Goal, starts[n]-1)
	}
	s := f.s
	if len(s.clauses) < 100 {
		t.Fatalf("only %d clauses were learned", len(s.clauses))
	}
	depth := 0
	down := func() {
		s.back(0)
		for s.propagate() {
			l, ok := s.earliest()
			if !ok || !s.decide(l) {
				break
			}
			depth = max(depth, len(s.levels))
		}
	}
	for range 20 {
		down()
	}
	if allocations := testing.AllocsPerRun(50, down); allocations > 0 {
		t.Errorf("%.0f allocations on the way down", allocations)
	}
	if depth < 5 {
		t.Errorf("the way down had only %d decisions", depth)
	}
}
