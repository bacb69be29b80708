package published_test

import (
	"os"
	"testing"

	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
)

// BenchmarkDemo is the demo job from its text to its plan.
func BenchmarkDemo(b *testing.B) {
	data, err := os.ReadFile(demoFile)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		job, err := jobfile.Read(demoFile, data)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := planner.Plan(b.Context(), job, planner.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
