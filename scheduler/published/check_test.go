package published_test

import (
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/rules"
	"gaugerod/scheduler/verify"
)

const dayMinutes = 24 * 60

// planOf plans a sound job, and has the separate checker prove the plan.
func planOf(t *testing.T, job *scheduler.Job) *scheduler.Plan {
	t.Helper()
	if faults := rules.Check(job); len(faults) > 0 {
		t.Fatalf("the job is unsound: %v", faults)
	}
	plan, err := planner.Plan(t.Context(), job, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verify.Plan(job, plan) {
		t.Errorf("the checker: %v", v)
	}
	return plan
}

// check plans the table's network and compares every figure that is known.
func (tb *table) check(t *testing.T, finish int) *scheduler.Plan {
	t.Helper()
	plan := planOf(t, tb.job)
	start := tb.job.Start.At(0, time.UTC).Time(time.UTC)
	days := func(at time.Time) int { return wholeDays(t, int64(at.Sub(start)/time.Minute)) }
	for _, id := range tb.ids {
		want, ok := tb.want[id]
		if !ok {
			continue
		}
		s := plan.FindStep(id)
		if s == nil {
			t.Fatalf("the plan has no step %s", id)
		}
		got := figures{
			ES: days(s.EarliestStart), EF: days(s.EarliestFinish),
			LS: days(s.LatestStart), LF: days(s.LatestFinish),
			TF: wholeDays(t, s.TotalFloat), FF: wholeDays(t, s.FreeFloat),
		}
		if got.masked(want) != want {
			t.Errorf("%s: got %+v, want %+v", id, got.masked(want), want)
		}
		if want.TF != unknown && s.Critical != (want.TF == 0) {
			t.Errorf("%s: critical is %t with a total float of %d", id, s.Critical, want.TF)
		}
	}
	if got := days(plan.EarliestFinish); got != finish {
		t.Errorf("finish is day %d, want %d", got, finish)
	}
	return plan
}

func wholeDays(t *testing.T, minutes int64) int {
	t.Helper()
	if minutes%dayMinutes != 0 {
		t.Errorf("%d minutes are not whole days", minutes)
	}
	return int(minutes / dayMinutes)
}

// masked is f without the figures that want does not know.
func (f figures) masked(want figures) figures {
	for _, p := range []struct {
		got  *int
		want int
	}{
		{&f.ES, want.ES},
		{&f.EF, want.EF},
		{&f.LS, want.LS},
		{&f.LF, want.LF},
		{&f.TF, want.TF},
		{&f.FF, want.FF},
	} {
		if p.want == unknown {
			*p.got = unknown
		}
	}
	return f
}
