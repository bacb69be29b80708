package planner

import (
	"context"
	"os"
	"reflect"
	"slices"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

func demo(t testing.TB) *scheduler.Job {
	t.Helper()
	data, err := os.ReadFile("../../testdata/demo.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read("demo.job.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

func dateOf(t time.Time) worktime.Date { return worktime.NewDate(t.Year(), t.Month(), t.Day()) }

// change is one change of a job that leaves its structure as it is.
type change struct {
	name string
	step scheduler.ID
	job  *scheduler.Job
	slip bool // a step comes or takes later, nothing gets easier
}

// changes is changes of each kind to a job, made from its plan: a delivery slips, a
// task takes longer or shorter, work is recorded, days pass.
func changes(job *scheduler.Job, plan *scheduler.Plan) []change {
	var list []change
	with := func(name string, step scheduler.ID, slip bool, f func(*scheduler.Job)) {
		j := *job
		j.Tasks, j.Facts = slices.Clone(job.Tasks), slices.Clone(job.Facts)
		f(&j)
		list = append(list, change{name, step, &j, slip})
	}
	fact := func(j *scheduler.Job, step scheduler.ID) *scheduler.Fact {
		for k := range j.Facts {
			if j.Facts[k].Step == step {
				return &j.Facts[k]
			}
		}
		j.Facts = append(j.Facts, scheduler.Fact{Step: step})
		return &j.Facts[len(j.Facts)-1]
	}
	for k := range job.Orders {
		d := job.Orders[k].DeliveryStep()
		s := plan.FindStep(d)
		if s == nil || s.State == scheduler.Complete {
			continue
		}
		with("delivery slips", d, false, func(j *scheduler.Job) {
			fact(j, d).Expected = &worktime.When{Day: dateOf(s.Start) + 9}
		})
	}
	for k := range job.Tasks {
		s := plan.FindStep(job.Tasks[k].ID)
		if s == nil || s.State == scheduler.Complete || s.Elapsed || job.Tasks[k].Takes.Amount == 0 {
			continue
		}
		with("task takes longer", s.ID, true, func(j *scheduler.Job) { j.Tasks[k].Takes.Amount += 2 })
		if k%3 == 0 && job.Tasks[k].Takes.Amount > 1 {
			with("task takes less", s.ID, false, func(j *scheduler.Job) { j.Tasks[k].Takes.Amount-- })
		}
		if k%4 == 0 && s.State == scheduler.Ready {
			with("recorded as planned", s.ID, false, func(j *scheduler.Job) {
				on := dateOf(s.Start)
				fact(j, s.ID).Started = &worktime.When{Day: on}
				next := on + 1
				j.AsOf = &next
			})
		}
	}
	day := dateOf(plan.AsOf) + 1
	with("a day passes", "", false, func(j *scheduler.Job) { j.AsOf = &day })
	return list
}

func again(t *testing.T, job *scheduler.Job, before *Memory) (*scheduler.Plan, *Memory) {
	t.Helper()
	plan, m, err := Replan(context.Background(), job, before, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verify.Plan(job, plan) {
		t.Errorf("%v", v)
	}
	return plan, m
}

// moved is how many windows of access lie otherwise than before.
func moved(before, after *scheduler.Plan) int {
	was := map[string]scheduler.Window{}
	for _, w := range before.Windows {
		was[w.ID] = w
	}
	n := 0
	for _, w := range after.Windows {
		if o, ok := was[w.ID]; !ok || !o.From.Equal(w.From) || !o.Until.Equal(w.Until) {
			n++
		}
	}
	return n
}

// reached is the steps that a change to one can move by the waits and the order of
// the plan before.
func reached(s *solution, step scheduler.ID) []bool {
	seen := make([]bool, s.h.Steps())
	i, ok := s.net.Find(step)
	if !ok {
		return seen
	}
	seen[i] = true
	for queue := []int{i}; len(queue) > 0; queue = queue[1:] {
		for _, a := range s.h.Out(queue[0]) {
			if !seen[a.To] {
				seen[a.To] = true
				queue = append(queue, int(a.To))
			}
		}
	}
	return seen
}

// TestReplanMovesLittle changes one thing after the other, and plans again near the
// plan before and from nothing.
func TestReplanMovesLittle(t *testing.T) {
	jobs := []*scheduler.Job{demo(t)}
	for seed := range uint64(9) {
		jobs = append(jobs, randomjob.New(seed, randomjob.Size{Steps: 40}))
	}
	var near, far, kept, strayed, both, same int
	for n, job := range jobs {
		plan, memory := again(t, job, nil)
		if len(plan.Contradictions) > 0 {
			continue
		}
		before := solutionOf(t, job)
		list := changes(job, plan)
		for k, c := range list {
			if k%7 != 0 {
				continue
			}
			warm, _ := again(t, c.job, memory)
			cold, err := Plan(context.Background(), c.job, Options{})
			if err != nil {
				t.Fatal(err)
			}
			if len(warm.Contradictions) != len(cold.Contradictions) {
				t.Errorf("job %d, %s %s: %d contradictions, from nothing %d", n, c.name, c.step, len(warm.Contradictions), len(cold.Contradictions))
			}
			if warm.Proven && cold.Proven {
				both++
				if warm.Finish.Equal(cold.Finish) {
					same++
				} else {
					t.Errorf("job %d, %s %s: finishes %s, from nothing %s", n, c.name, c.step, warm.Finish, cold.Finish)
				}
			}
			near, far = near+moved(plan, warm), far+moved(plan, cold)
			if c.slip {
				stays, strays := settled(before, plan, warm, c.step)
				kept, strayed = kept+stays, strayed+strays
			}
		}
	}
	t.Logf("%d windows moved, from nothing %d; of the steps that a slip does not reach %d stayed and %d moved; %d of %d proven finishes the same", near, far, kept, strayed, same, both)
	if near*10 > far*9 || strayed*8 > kept || both < 20 {
		t.Error("too much moves, or the test shows little")
	}
}

// solutionOf is what Plan finds out about a job.
func solutionOf(t *testing.T, job *scheduler.Job) *solution {
	t.Helper()
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	s, err := solve(t.Context(), net, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// settled counts the steps that a change does not reach which stay and which move.
func settled(before *solution, plan, warm *scheduler.Plan, step scheduler.ID) (stays, strays int) {
	reach := reached(before, step)
	for i := range plan.Steps {
		a, b := &plan.Steps[i], &warm.Steps[i]
		if reach[i] || before.h.Progress[i] == network.Done || before.held[i] || a.Order != "" {
			continue
		}
		if a.Start.Equal(b.Start) {
			stays++
		} else {
			strays++
		}
	}
	return stays, strays
}

// TestReplanIsDeterministic: from the same memory comes the same plan, and with only
// the stored plan to go on from one that is as good.
func TestReplanIsDeterministic(t *testing.T) {
	job := demo(t)
	plan, memory := again(t, job, nil)
	for k, c := range changes(job, plan) {
		if k%40 != 0 {
			continue
		}
		one, _ := again(t, c.job, memory)
		two, _ := again(t, c.job, memory)
		if !reflect.DeepEqual(one, two) {
			t.Errorf("%s %s: two plans from one memory differ", c.name, c.step)
		}
		stored, err := Remember(job, plan)
		if err != nil {
			t.Fatal(err)
		}
		three, _ := again(t, c.job, stored)
		if one.Proven && three.Proven && !three.Finish.Equal(one.Finish) {
			t.Errorf("%s %s: from a stored plan it finishes %s, from memory %s", c.name, c.step, three.Finish, one.Finish)
		}
	}
}

// TestReplanOfContradictions: jobs that contradict themselves are planned again like
// others, also where the change is what makes or lifts a contradiction.
func TestReplanOfContradictions(t *testing.T) {
	with, lifted := 0, 0
	for seed := range uint64(14) {
		job := randomjob.New(seed, randomjob.Size{Steps: 24, Tight: 70})
		plan, memory := again(t, job, nil)
		calm := *job
		calm.Pins = nil
		for _, next := range []*scheduler.Job{job, &calm} {
			p, m := again(t, next, memory)
			if len(p.Contradictions) > 0 {
				with++
			}
			if len(p.Contradictions) < len(plan.Contradictions) {
				lifted++
			}
			again(t, job, m)
		}
	}
	if with < 8 || lifted < 1 {
		t.Errorf("%d plans with contradictions, %d with fewer than before: the test shows little", with, lifted)
	}
}
