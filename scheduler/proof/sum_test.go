package proof

import (
	"math/rand/v2"
	"testing"
)

// hurried is a tiny model with due times for about half of its steps and no end that
// matters.
func hurried(rng *rand.Rand, occupations bool) *Model {
	m := tiny(rng, occupations)
	m.Sum = &Sum{Most: 1000}
	for x := range m.Goal {
		if rng.IntN(2) == 0 {
			m.Sum.Terms = append(m.Sum.Terms, Term{Step: x, Due: int64(1 + rng.IntN(6))})
		}
	}
	return m
}

func lateness(m *Model, starts []int64) int64 {
	total := int64(0)
	for _, t := range m.Sum.Terms {
		total += max(0, m.Times.Finish(t.Step, starts[t.Step])-t.Due)
	}
	return total
}

// leastLate is the least lateness, and the least start of the goal with it, by trying
// everything; -1: there is no schedule.
func leastLate(m *Model) (late, goal int64) {
	n := int(m.Goal)
	starts := make([]int64, n+1)
	late, goal = -1, -1
	var try func(i int)
	try = func(i int) {
		if i < n {
			for starts[i] = m.Lo[i]; starts[i] <= m.Hi[i]; starts[i]++ {
				ok := true
				for _, a := range m.Arcs {
					ok = ok && (int(a.From) > i || int(a.To) > i || starts[a.To] >= starts[a.From]+a.Lag)
				}
				if ok {
					try(i + 1)
				}
			}
			return
		}
		starts[n] = 0
		for _, a := range m.Arcs {
			if int(a.To) == n {
				starts[n] = max(starts[n], starts[a.From]+a.Lag)
			}
		}
		l := lateness(m, starts)
		if late >= 0 && (l > late || l == late && starts[n] >= goal) || starts[n] > m.Hi[n] || !keeps(m, starts) {
			return
		}
		late, goal = l, starts[n]
	}
	try(0)
	return late, goal
}

// TestLatenessAgainstTryingEverything proves the least lateness, then the least goal
// with it, and holds both against all schedules there are.
func TestLatenessAgainstTryingEverything(t *testing.T) {
	none, missed := 0, 0
	for seed := range uint64(200) {
		m := hurried(rand.New(rand.NewPCG(seed, 5)), seed%2 == 0)
		if len(m.Lo) > 6 {
			for x := range m.Hi {
				m.Hi[x] = min(m.Hi[x], 9)
			}
		}
		wantLate, wantGoal := leastLate(m)
		s, late := NewSearch(m), int64(-1)
		for {
			outcome, starts := s.Next(1<<40, nil)
			if outcome == Refuted {
				break
			}
			if !keeps(m, starts) || late >= 0 && lateness(m, starts) >= late {
				t.Fatalf("seed %d: after lateness %d the schedule %v", seed, late, starts)
			}
			late = lateness(m, starts)
			s.Follow(starts)
			s.Budget(late - 1)
		}
		if late != wantLate {
			t.Fatalf("seed %d: least lateness %d, want %d", seed, late, wantLate)
		}
		if late < 0 {
			none++
			continue
		}
		if late > 0 {
			missed++
		}
		m.Sum.Most = late
		if goal := search(t, m, false); goal != wantGoal {
			t.Fatalf("seed %d: with lateness %d the shortest is %d, want %d", seed, late, goal, wantGoal)
		}
	}
	if none > 100 || missed < 50 {
		t.Errorf("%d of 200 models have no schedule, %d miss a due time: the test shows little", none, missed)
	}
}
