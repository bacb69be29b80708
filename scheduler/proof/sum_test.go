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

// evenings is a calendar in which steps start only in the first four of ten units of
// time and work goes on only there.
type evenings struct{ Plain }

func (e *evenings) open(t int64) int64 { return t/10*4 + min(t%10, 4) }

func (e *evenings) StartFrom(_ int32, t int64) int64 {
	if t%10 >= 4 {
		return t - t%10 + 10
	}
	return t
}

func (e *evenings) LastStartBy(_ int32, t int64) int64 { return t - t%10 + min(t%10, 3) }

func (e *evenings) Finish(i int32, s int64) int64 {
	w := e.open(s) + e.Length[i] - 1
	return w/4*10 + w%4 + 1
}

func (e *evenings) StartPast(i int32, t int64) int64 {
	for s := int64(0); ; s++ {
		if e.StartFrom(i, s) == s && e.Finish(i, s) > t {
			return s
		}
	}
}

// TestReasonsForLatenessSuffice asks for the reasons of random needs: the literals
// are true, and with starts no later than they say, the need is met.
func TestReasonsForLatenessSuffice(t *testing.T) {
	weaker := 0
	for seed := range uint64(500) {
		rng := rand.New(rand.NewPCG(seed, 6))
		const n = 5
		times := &evenings{}
		m := &Model{Times: times, Sum: &Sum{Most: 1000}}
		for x := range int32(n) {
			times.Length = append(times.Length, 1+rng.Int64N(9))
			m.Lo, m.Hi = append(m.Lo, times.StartFrom(x, rng.Int64N(40))), append(m.Hi, 90)
			m.Sum.Terms = append(m.Sum.Terms, Term{Step: x, Due: rng.Int64N(60)})
		}
		s := newSolver(m)
		total := lateness(m, m.Lo)
		but := int32(rng.IntN(n+1)) - 1
		if but >= 0 {
			total -= max(0, times.Finish(but, m.Lo[but])-m.Sum.Terms[but].Due)
		}
		if total == 0 {
			continue
		}
		need, got := 1+rng.Int64N(total), int64(0)
		for _, l := range s.sum.because(s, nil, but, need, 0) {
			x := l.side >> 1
			if l.side&1 != 0 || !s.holds(l) || x == but {
				t.Fatalf("seed %d: reason %+v", seed, l)
			}
			if l.value < m.Lo[x] {
				weaker++
			}
			got += max(0, times.Finish(x, l.value)-m.Sum.Terms[x].Due)
		}
		if got < need {
			t.Fatalf("seed %d: the reasons make %d of lateness certain, %d are needed", seed, got, need)
		}
	}
	if weaker < 100 {
		t.Errorf("only %d reasons ask for less than the bounds have", weaker)
	}
}
