package verify_test

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/verify"
)

// written is a job as it comes out of its file, with the lines of its statements, by
// which the checker knows what a contradiction speaks of.
func written(t *testing.T, job *scheduler.Job) *scheduler.Job {
	t.Helper()
	data, err := jobfile.Write(job)
	if err != nil {
		t.Fatal(err)
	}
	if job, err = jobfile.Read("random.job.yaml", data); err != nil {
		t.Fatal(err)
	}
	return job
}

// prove plans a job and reports every violation that the checker finds in the plan.
func prove(t *testing.T, seed uint64, job *scheduler.Job) *scheduler.Plan {
	t.Helper()
	job = written(t, job)
	plan, err := planner.Plan(context.Background(), job, planner.Options{})
	if err != nil {
		t.Fatalf("seed %d: %v", seed, err)
	}
	for _, v := range verify.Plan(job, plan) {
		t.Errorf("seed %d: %v", seed, v)
	}
	return plan
}

// TestRandomPlansHold plans random jobs with every feature and proves each plan.
func TestRandomPlansHold(t *testing.T) {
	families := []struct {
		name        string
		seeds       uint64
		low, spread int
		tight       int
	}{
		{"small", 120, 4, 20, 0},
		{"house part", 40, 25, 20, 0},
		{"tight", 80, 6, 30, 40},
		{"house", 3, 150, 100, 0},
	}
	for _, f := range families {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			for seed := range f.seeds {
				prove(t, seed, randomjob.New(seed, randomjob.Size{Steps: f.low + int(seed)%f.spread, Tight: f.tight}))
			}
		})
	}
}

// TestEachFeatureAloneHolds plans jobs with one feature, so that a fault names it.
func TestEachFeatureAloneHolds(t *testing.T) {
	for f := randomjob.Feature(1); f < randomjob.All; f <<= 1 {
		for seed := range uint64(5) {
			prove(t, seed, randomjob.New(seed, randomjob.Size{Steps: 15, Without: randomjob.Only(f)}))
		}
	}
}

// TestContradictionsAreNamed plans jobs drawn so tight that many contradict
// themselves: each plan must hold but for what it sets aside, and some must set
// something aside, else the test tests nothing.
func TestContradictionsAreNamed(t *testing.T) {
	named := 0
	for seed := range uint64(40) {
		size := randomjob.Size{Steps: 20, Tight: 100, Without: randomjob.Crews | randomjob.Room | randomjob.Alone | randomjob.GearUse | randomjob.Occupations}
		plan := prove(t, seed, randomjob.New(seed, size))
		if len(plan.Contradictions) > 0 {
			named++
		}
	}
	if named < 10 {
		t.Errorf("only %d of 40 jobs contradict themselves", named)
	}
}

// BenchmarkPlan is for keeping the checker fit for use after each solve of a whole house.
func BenchmarkPlan(b *testing.B) {
	job := randomjob.New(7, randomjob.Size{Steps: 250})
	plan, err := planner.Plan(b.Context(), job, planner.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		verify.Plan(job, plan)
	}
}

// TestBoundHoldsForEveryPlan plans each job with little and with much search: no
// bound, and so no finish that is called proven, may lie after the finish of any of
// the plans.
func TestBoundHoldsForEveryPlan(t *testing.T) {
	proven := 0
	for seed := range uint64(25) {
		job := randomjob.New(seed, randomjob.Size{Steps: 18})
		var plans []*scheduler.Plan
		for _, schedules := range []int{1, 20, 200} {
			plan, err := planner.Plan(context.Background(), job, planner.Options{Effort: &levelling.Effort{
				Schedules: schedules, Raises: 200, LateEnds: int64(schedules), DeadEnds: int64(schedules), VisitEnds: int64(schedules), Chains: 4,
			}})
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			plans = append(plans, plan)
		}
		for _, a := range plans {
			if a.Proven {
				proven++
			}
			for _, b := range plans {
				late, visits := func(p *scheduler.Plan) *scheduler.Aim { return &p.Aims[0] }, func(p *scheduler.Plan) *scheduler.Aim { return &p.Aims[2] }
				if len(a.Contradictions)+len(b.Contradictions) > 0 {
					continue
				}
				if late(b).Reached <= late(a).Reached && a.Bound.After(b.Finish) {
					t.Errorf("seed %d: one plan has the bound %s, another as punctual finishes %s", seed, a.Bound, b.Finish)
				}
				if late(a).Least > late(b).Reached {
					t.Errorf("seed %d: one plan is late by at least %d, another by %d", seed, late(a).Least, late(b).Reached)
				}
				if late(b).Reached <= late(a).Reached && !b.Finish.After(a.Finish) && visits(a).Least > visits(b).Reached {
					t.Errorf("seed %d: one plan has at least %d visits, another as good %d", seed, visits(a).Least, visits(b).Reached)
				}
			}
		}
	}
	if proven == 0 {
		t.Error("no plan is called proven")
	}
}

// TestSamePlanTwice plans each job twice: the plans are the same to the minute.
func TestSamePlanTwice(t *testing.T) {
	for seed := range uint64(20) {
		job := randomjob.New(seed, randomjob.Size{Steps: 25, Tight: 20})
		a, b := prove(t, seed, job), prove(t, seed, job)
		if d := cmp.Diff(a, b); d != "" {
			t.Errorf("seed %d: %s", seed, d)
		}
	}
}
