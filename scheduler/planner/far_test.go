package planner

import (
	"context"
	"testing"

	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

// TestPlannedFromLateDays: random jobs as of days on which much of what they say
// contradicts itself. Work that has begun is then planned to go on later than the
// joining of visits lets it stay; the search must see that it cannot be, and end.
func TestPlannedFromLateDays(t *testing.T) {
	for seed := range uint64(12) {
		job := randomjob.New(seed, randomjob.Size{Steps: 30})
		for _, day := range []worktime.Date{worktime.NewDate(2026, 4, 15), worktime.NewDate(2026, 7, 1), worktime.NewDate(2027, 1, 1)} {
			plan, err := Plan(context.Background(), job, Options{AsOf: &day})
			if err != nil {
				t.Fatalf("job %d as of %s: %v", seed, day, err)
			}
			at := *job
			at.AsOf = &day
			for _, v := range verify.Plan(&at, plan) {
				t.Errorf("job %d as of %s: %v", seed, day, v)
			}
		}
	}
}
