package verify_test

import (
	"testing"

	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/verify"
)

// TestNothingHoldsBecauseCalendarsEnd: two working days are over before eight days by
// the clock have passed, wherever they lie. After the last day that the checker lays
// out nobody works, which is no way to keep them.
func TestNothingHoldsBecauseCalendarsEnd(t *testing.T) {
	job, err := jobfile.Read("small.job.yaml", []byte(crewHead+`
tasks:
  a: {title: A, place: house, takes: 2 days}
  dry: {title: Dry, takes: 8 elapsed days, after: [{finish: a}]}
  rest: {title: Rest, takes: 1 elapsed day, after: [{finish: dry}, {finish: a, most: 2 days}]}
`))
	if err != nil {
		t.Fatal(err)
	}
	plan, err := planner.Plan(t.Context(), job, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(plan.Contradictions) != 1 {
		t.Fatalf("contradictions %+v", plan.Contradictions)
	}
	for _, v := range verify.Plan(job, plan) {
		t.Error(v)
	}
	if best, known := verify.Exhaust(job, plan.AsOf, 10); !known || best.Found {
		t.Errorf("known %v: %+v", known, best)
	}
}
