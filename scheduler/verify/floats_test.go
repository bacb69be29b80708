package verify_test

import (
	"testing"

	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/verify"
)

// TestFloatOfAFinishBesideWhatALimitSetsAside: one room forbids the most time, which
// earliest and latest dates without limits keep all the same. Only the float of b's
// finish shows that it does not count: the finish drives nothing else.
func TestFloatOfAFinishBesideWhatALimitSetsAside(t *testing.T) {
	job, err := jobfile.Read("small.job.yaml", []byte(crewHead+`
tasks:
  a: {title: A, place: hall, takes: 4 days}
  c: {title: C, place: house, takes: 3 days}
  b: {title: B, place: hall, takes: 1 day, after: [{finish: c}]}
  d: {title: D, place: house, takes: 5 days, after: [{start: b}]}
waits:
  - {from: {finish: a}, to: {finish: b}, most: 0 days}
`))
	if err != nil {
		t.Fatal(err)
	}
	plan, err := planner.Plan(t.Context(), job, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(plan.Contradictions) != 1 || plan.FindStep("b").FinishFloat == 0 {
		t.Fatalf("float %d, contradictions %+v", plan.FindStep("b").FinishFloat, plan.Contradictions)
	}
	for _, v := range verify.Plan(job, plan) {
		t.Error(v)
	}
	plan.FindStep("b").FinishFloat -= 60
	if len(verify.Plan(job, plan)) == 0 {
		t.Error("another float went through")
	}
}
