package planner

import (
	"context"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/verify"
)

func mended(t *testing.T, job *scheduler.Job, before *Memory) (*scheduler.Plan, *Memory) {
	t.Helper()
	plan, m, err := Replan(context.Background(), job, before, Options{Mend: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verify.Plan(job, plan) {
		t.Errorf("%v", v)
	}
	return plan, m
}

func late(plan *scheduler.Plan) int64 {
	for _, a := range plan.Aims {
		if a.Kind == scheduler.AimDueDays {
			return a.Reached
		}
	}
	return 0
}

// TestMendedPlansAreSound mends the plan of each of many changed jobs, and then plans
// it with the whole search: what is found then is as good or better, and it is searched
// for wherever the mended plan lies further from its bound than the one before.
func TestMendedPlansAreSound(t *testing.T) {
	jobs := []*scheduler.Job{demo(t)}
	for seed := range uint64(6) {
		jobs = append(jobs, randomjob.New(seed, randomjob.Size{Steps: 30, Tight: int(seed%2) * 40}))
	}
	worse := 0
	for n, job := range jobs {
		plan, memory := again(t, job, nil)
		all := changes(job, plan)
		for k := 0; k < len(all); k += 1 + len(all)/5 {
			c := all[k]
			soon, m := mended(t, c.job, memory)
			if len(plan.Contradictions)+len(soon.Contradictions) > 0 {
				continue // what is set aside differs, and so does what the plans can be
			}
			if m.finishGap > memory.finishGap || m.lateGap > memory.lateGap {
				t.Errorf("job %d, %s of %s: what is mended passes for as good as it can be", n, c.name, c.step)
			}
			better, _ := again(t, c.job, m)
			if late(better) > late(soon) || late(better) == late(soon) && better.Finish.After(soon.Finish) {
				t.Errorf("job %d, %s of %s: the whole search ends on %s, late by %d, the mended plan on %s, by %d",
					n, c.name, c.step, better.Finish, late(better), soon.Finish, late(soon))
			}
			if late(better) < late(soon) || better.Finish.Before(soon.Finish) {
				worse++
			}
		}
	}
	t.Logf("the whole search bettered %d", worse)
}

// TestMendedWhenStepsComeAndGo: steps that were not there before are fitted in, and of
// those that are gone nothing is left.
func TestMendedWhenStepsComeAndGo(t *testing.T) {
	job := randomjob.New(3, randomjob.Size{Steps: 40})
	_, memory := again(t, job, nil)
	more := *job
	extra := job.Tasks[0]
	extra.ID, extra.Title = "extra", "Extra"
	more.Tasks = append(append([]scheduler.Task(nil), job.Tasks...), extra)
	plan, m := mended(t, &more, memory)
	if plan.FindStep("extra") == nil {
		t.Error("the new step is not in the plan")
	}
	plan, _ = mended(t, job, m)
	if plan.FindStep("extra") != nil {
		t.Error("the step that is gone is in the plan")
	}
}

// TestMendingWithoutAPlanBefore is planning from nothing.
func TestMendingWithoutAPlanBefore(t *testing.T) {
	job := randomjob.New(2, randomjob.Size{Steps: 30})
	whole, _ := again(t, job, nil)
	plan, _ := mended(t, job, nil)
	if !plan.Finish.Equal(whole.Finish) || plan.Proven != whole.Proven {
		t.Errorf("it ends on %s, proven %v, not on %s, %v", plan.Finish, plan.Proven, whole.Finish, whole.Proven)
	}
}
