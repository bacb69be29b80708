package planner

import (
	"fmt"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/randomjob"
)

// BenchmarkReplan changes one date or length after the other, and plans each changed
// job from nothing and from the plan before, in the same run, each with the usual effort.
func BenchmarkReplan(b *testing.B) {
	replans(b, "demo", demo(b), 12, levelling.DefaultEffort(300))
	for _, steps := range []int{2000, 5000} {
		size := randomjob.Size{Steps: steps, Without: randomjob.Mosts | randomjob.Pins | randomjob.BuildUps}
		replans(b, fmt.Sprint(steps, " steps"), randomjob.New(1, size), 3, levelling.DefaultEffort(steps))
	}
}

// replans measures some of the changes of a job, evenly chosen, as one run.
func replans(b *testing.B, name string, job *scheduler.Job, some int, effort levelling.Effort) {
	b.Run(name, func(b *testing.B) {
		opt := Options{Effort: &effort}
		plan, memory, err := Replan(b.Context(), job, nil, opt)
		if err != nil {
			b.Fatal(err)
		}
		all := changes(job, plan)
		var chosen []change
		for k := range some {
			chosen = append(chosen, all[k*len(all)/some+len(all)/some/2])
		}
		cold := 0.0
		b.Run("from nothing", func(b *testing.B) {
			for b.Loop() {
				for _, c := range chosen {
					if _, err := Plan(b.Context(), c.job, opt); err != nil {
						b.Fatal(err)
					}
				}
			}
			cold = b.Elapsed().Seconds() / float64(b.N)
		})
		b.Run("from the plan before", func(b *testing.B) {
			for b.Loop() {
				for _, c := range chosen {
					if _, _, err := Replan(b.Context(), c.job, memory, opt); err != nil {
						b.Fatal(err)
					}
				}
			}
			b.ReportMetric(cold/(b.Elapsed().Seconds()/float64(b.N)), "times-faster")
		})
	})
}
