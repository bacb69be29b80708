package odds_test

import (
	"os"
	"testing"

	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/odds"
	"gaugerod/scheduler/planner"
)

// BenchmarkOddsOfTheDemo tries the plan of the demo house.
func BenchmarkOddsOfTheDemo(b *testing.B) {
	data, err := os.ReadFile("../../testdata/demo.job.yaml")
	if err != nil {
		b.Fatal(err)
	}
	job, err := jobfile.Read("demo.job.yaml", data)
	if err != nil {
		b.Fatal(err)
	}
	net, err := expand.Expand(job)
	if err != nil {
		b.Fatal(err)
	}
	plan, err := planner.Plan(b.Context(), job, planner.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := odds.Of(net, plan); err != nil {
			b.Fatal(err)
		}
	}
}
