package planner

import (
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
)

// BenchmarkMendLarge mends the plan of a job of 20,000 steps and 50,000 waits, with
// crews and with places to share besides, after one task has come to take longer: as
// the service does after a change.
func BenchmarkMendLarge(b *testing.B) {
	for _, kind := range []struct {
		name   string
		places int
	}{{"crews", 0}, {"crews and places", 60}} {
		b.Run(kind.name, func(b *testing.B) {
			job := randomjob.Large(20_000, kind.places)
			plan, memory, err := Replan(b.Context(), job, nil, Options{})
			if err != nil {
				b.Fatal(err)
			}
			recalled := Recall(plan)
			job.Tasks[7919].Takes.Amount += 2
			mend(b, "from memory", job, memory)
			mend(b, "from the stored plan", job, recalled)
		})
	}
}

// mend measures the mending of one plan.
func mend(b *testing.B, from string, job *scheduler.Job, memory *Memory) {
	b.Run(from, func(b *testing.B) {
		for b.Loop() {
			if _, _, err := Replan(b.Context(), job, memory, Options{Mend: true}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
