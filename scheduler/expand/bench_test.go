package expand_test

import (
	"testing"

	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/randomjob"
)

func BenchmarkExpand100000Steps(b *testing.B) {
	job := randomjob.Plain(1, 100_000, 250_000)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := expand.Expand(job); err != nil {
			b.Fatal(err)
		}
	}
}

// TestMemoryGrowsWithTheJob: ten times the steps, no more than about ten times the
// allocations.
func TestMemoryGrowsWithTheJob(t *testing.T) {
	allocs := func(steps int) float64 {
		job := randomjob.Plain(1, steps, steps*5/2)
		return testing.AllocsPerRun(2, func() {
			if _, err := expand.Expand(job); err != nil {
				t.Fatal(err)
			}
		})
	}
	if small, large := allocs(2_000), allocs(20_000); large > 15*small {
		t.Errorf("%.0f allocations for 2,000 steps, %.0f for 20,000", small, large)
	}
}
