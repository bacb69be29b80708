package published_test

import (
	"fmt"
	"slices"
	"sync/atomic"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
)

// Networks in real time with waits between all ends, least and most times: the
// earliest and latest dates are those of linear programs, and where the program has no
// solution the plan shows contradictions, and only there. Each contradiction is a
// smallest one: the program with just its waits has no solution, and has one as
// soon as any of them is left out. Without the waits that the plan sets aside, its
// dates are the program's again.
func TestDatesAreThoseOfALinearProgram(t *testing.T) {
	needGlpsol(t)
	var sound, contradictory atomic.Int32
	t.Run("networks", func(t *testing.T) {
		for seed := range uint64(120) {
			steps := 5 + int(seed%40)
			t.Run(fmt.Sprintf("seed %d, %d steps", seed, steps), func(t *testing.T) {
				t.Parallel()
				job := randomjob.Continuous(seed, steps, 2*steps, randomjob.AllFour)
				for k := range job.Waits {
					job.Waits[k].Pos = scheduler.Pos{Line: k + 1, Column: 1} // by which a statement names its wait
				}
				if compareWithProgram(t, job) {
					sound.Add(1)
				} else {
					contradictory.Add(1)
				}
			})
		}
	})
	t.Logf("%d networks had dates, %d had none", sound.Load(), contradictory.Load())
	if sound.Load() < 20 || contradictory.Load() < 20 {
		t.Error("the networks do not try both cases: want at least 20 of each")
	}
}

// compareWithProgram says whether the program has a solution.
func compareWithProgram(t *testing.T, job *scheduler.Job) bool {
	t.Helper()
	plan := planOf(t, job)
	_, feasible := program{job: job}.solve(t)
	if feasible != (len(plan.Contradictions) == 0) {
		t.Fatalf("the program has a solution: %t; the plan has %d contradictions", feasible, len(plan.Contradictions))
	}
	aside := map[int]bool{}
	if !feasible {
		aside = proveSmallest(t, job, plan)
	}
	kept := program{job: job, keepMost: func(k int) bool { return !aside[k] }}
	starts, mended := kept.solve(t)
	if !mended {
		t.Fatal("what the plan sets aside does not mend the contradictions")
	}
	kept.by = minutesFromStart(job, plan.EarliestFinish)
	latest, inTime := kept.solve(t)
	if !inTime {
		t.Fatal("the program cannot finish by the plan's finish")
	}
	for k := range job.Tasks {
		s := plan.FindStep(job.Tasks[k].ID)
		if got := minutesFromStart(job, s.EarliestStart); got != starts[k] {
			t.Errorf("%s starts at minute %d, the program says %d", s.ID, got, starts[k])
		}
		if got := minutesFromStart(job, s.LatestStart); got != latest[k] {
			t.Errorf("%s starts at minute %d at the latest, the program says %d", s.ID, got, latest[k])
		}
	}
	return feasible
}

// proveSmallest checks each contradiction of the plan, and returns the waits whose
// most time the plan sets aside.
func proveSmallest(t *testing.T, job *scheduler.Job, plan *scheduler.Plan) map[int]bool {
	t.Helper()
	aside := map[int]bool{}
	for _, c := range plan.Contradictions {
		var waits []int
		for _, s := range c.Statements {
			if s.Line < 1 || s.Line > len(job.Waits) {
				t.Fatalf("a contradiction with something other than waits: %+v", s)
			}
			waits = append(waits, s.Line-1)
		}
		if c.Dropped < 0 {
			t.Fatalf("a contradiction that nothing is set aside for: %+v", c)
		}
		aside[waits[c.Dropped]] = true
		if _, feasible := (program{job: job, keep: func(k int) bool { return slices.Contains(waits, k) }}).solve(t); feasible {
			t.Errorf("waits %v are said to contradict each other and do not", waits)
		}
		for _, without := range waits {
			keep := func(k int) bool { return k != without && slices.Contains(waits, k) }
			if _, feasible := (program{job: job, keep: keep}).solve(t); !feasible {
				t.Errorf("waits %v contradict each other without wait %d, so the set is not the smallest", waits, without)
			}
		}
	}
	return aside
}

// A loop of three waits has no solution, and all three contradict each other.
func TestALoopHasNoSolution(t *testing.T) {
	needGlpsol(t)
	tb := parse(t, `
		A 3 | start of C
		B 2 | finish of A wait 1
		C 4 | finish of B`)
	for k := range tb.job.Waits {
		tb.job.Waits[k].Pos = scheduler.Pos{Line: k + 1, Column: 1}
	}
	if _, feasible := (program{job: tb.job}).solve(t); feasible {
		t.Fatal("glpsol found dates for a loop of waits")
	}
	plan := planOf(t, tb.job)
	if len(plan.Contradictions) != 1 || len(plan.Contradictions[0].Statements) != 3 {
		t.Fatalf("want one contradiction of three waits, got %+v", plan.Contradictions)
	}
}
