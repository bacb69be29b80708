package published_test

import (
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/verify"
)

// plainDays is what is left out of a job so that more of it is in each other's way.
const plainDays = randomjob.Facts | randomjob.Typicals | randomjob.Orders | randomjob.OwnWeeks | randomjob.DaysOff

// TestPlansAgainstEveryOrder holds the plans of small random jobs against the best
// that can be had, found by trying every order: no plan is better, and one that is
// called proven is as good.
func TestPlansAgainstEveryOrder(t *testing.T) {
	for _, f := range []struct {
		name    string
		size    randomjob.Size
		jobs    uint64
		settled int // jobs of which brute force knows the answer, at least
		proven  int // plans called proven, at least
		scarce  int // jobs that limits make longer than waits do, at least
	}{
		{"every feature", randomjob.Size{}, 150, 149, 140, 30},
		{"every feature, tight", randomjob.Size{Tight: 40}, 150, 149, 105, 20},
		{"plain days", randomjob.Size{Without: plainDays}, 100, 99, 95, 22},
		{"plain days, tight", randomjob.Size{Without: plainDays, Tight: 40}, 210, 208, 135, 42},
	} {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			r := &contest{T: t}
			for seed := range f.jobs {
				f.size.Steps = 4 + int(seed%6)
				r.hold(seed, randomjob.New(seed, f.size))
			}
			t.Logf("%d jobs: %d settled by brute force, of %d nothing can keep all that is said; %d plans proven, %d as good as can be, "+
				"%d limits matter to; %d set something aside needlessly", f.jobs, r.settled, r.none, r.proven, r.best, r.scarce, r.needless)
			if r.needless > 1 {
				t.Errorf("%d plans set something aside that could be kept", r.needless)
			}
			if r.settled < f.settled || r.proven < f.proven || r.scarce < f.scarce {
				t.Errorf("settled %d, proven %d, scarce %d; want %d, %d, %d", r.settled, r.proven, r.scarce, f.settled, f.proven, f.scarce)
			}
		})
	}
}

// contest counts how plans compare with the best.
type contest struct {
	*testing.T
	settled, none, proven, best, scarce, needless int
}

// setsOfDates is how many sets of dates brute force may try for a job: it takes a
// second at most, and nearly always a hundredth.
const setsOfDates = 2000

func (r *contest) hold(seed uint64, job *scheduler.Job) {
	r.Helper()
	job = written(r.T, job)
	plan, err := planner.Plan(r.Context(), job, planner.Options{})
	if err != nil {
		r.Fatalf("seed %d: %v", seed, err)
	}
	for _, v := range verify.Plan(job, plan) {
		r.Errorf("seed %d: %v", seed, v)
	}
	best, known := verify.Exhaust(job, plan.AsOf, setsOfDates)
	if !known {
		return
	}
	r.settled++
	aside, proven := setsAside(plan)
	switch {
	case !best.Found:
		r.none++
		if !aside {
			r.Errorf("seed %d: the plan keeps everything, which brute force finds impossible", seed)
		}
		return
	case proven:
		r.Errorf("seed %d: a contradiction is called proven, but everything can be kept", seed)
		return
	case aside:
		r.needless++
		r.Logf("seed %d: something is set aside without a proof, but everything can be kept", seed)
		return
	}
	r.compare(seed, plan, &best)
}

func (r *contest) compare(seed uint64, plan *scheduler.Plan, best *verify.Optimum) {
	r.Helper()
	late := lateMinutes(plan)
	better := late < best.Late || late == best.Late && plan.Finish.Before(best.Finish)
	equal := late == best.Late && plan.Finish.Equal(best.Finish)
	switch {
	case better:
		r.Errorf("seed %d: %d minutes late, finished %v: better than can be, %d and %v", seed, late, plan.Finish, best.Late, best.Finish)
	case plan.Proven && !equal:
		r.Errorf("seed %d: called proven with %d minutes late, finished %v; the best is %d and %v", seed, late, plan.Finish, best.Late, best.Finish)
	}
	if plan.Bound.After(best.Finish) {
		r.Errorf("seed %d: no plan as punctual can finish before %v, the plan says, but one finishes %v", seed, plan.Bound, best.Finish)
	}
	for _, a := range plan.Aims {
		if a.Kind == scheduler.AimDueDays && (a.Reached != late || a.Least > best.Late || a.Proven != (a.Least == late)) {
			r.Errorf("seed %d: due days are missed by %d minutes, at the least %d, the plan says %+v", seed, late, best.Late, a)
		}
	}
	if equal {
		r.best++
	}
	if plan.Proven {
		r.proven++
	}
	if best.Finish.After(plan.EarliestFinish) {
		r.scarce++
	}
}

// written is a job as it comes out of its file, with the lines of its statements.
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

// lateMinutes is by how much steps finish after the first of their due days, in all.
func lateMinutes(plan *scheduler.Plan) int64 {
	first := map[scheduler.ID]*scheduler.PlannedDue{}
	for k := range plan.Dues {
		d := &plan.Dues[k]
		if old := first[d.Step]; old == nil || d.By.Before(old.By) {
			first[d.Step] = d
		}
	}
	late := int64(0)
	for _, d := range first {
		late += max(0, int64(d.Planned.Sub(d.By)/time.Minute))
	}
	return late
}

// setsAside says whether a plan sets a statement aside that could still be kept, and
// whether it says of any that it must be. A most time between two recorded ends is
// none: the plan only tells that it was not kept.
func setsAside(plan *scheduler.Plan) (any, proven bool) {
	for k := range plan.Contradictions {
		x := &plan.Contradictions[k]
		if x.Dropped >= 0 && !onRecord(plan, x.Statements[x.Dropped].Steps) {
			any, proven = true, proven || !x.Unproven
		}
	}
	return any, proven
}

func onRecord(plan *scheduler.Plan, steps []scheduler.ID) bool {
	recorded := func(id scheduler.ID, end string) bool {
		s := plan.FindStep(id)
		return s.State == scheduler.Complete || s.State == scheduler.Underway && end == scheduler.Start.String()
	}
	found := false
	for k := range plan.Waits {
		w := &plan.Waits[k]
		if !w.Dropped || len(steps) != 2 || w.FromID != steps[0] || w.ToID != steps[1] {
			continue
		}
		found = true
		if !recorded(w.FromID, w.FromEnd) || !recorded(w.ToID, w.ToEnd) {
			return false
		}
	}
	return found
}
