package network_test

import (
	"slices"
	"testing"

	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
)

// TestAgainIsBuild: on the calendars of another graph of the same site everything
// comes out as if it had been laid out from nothing.
func TestAgainIsBuild(t *testing.T) {
	for seed := range uint64(60) {
		job := randomjob.New(seed, randomjob.Size{Steps: 30})
		net, err := expand.Expand(job)
		if err != nil {
			t.Fatal(err)
		}
		asOf := job.Start
		if job.AsOf != nil {
			asOf = *job.AsOf
		}
		whole, err := network.Build(net, asOf, 8*366)
		if err != nil {
			t.Fatal(err)
		}
		less := *job
		less.Facts, less.Pins = nil, nil
		if len(less.Tasks) > 1 {
			less.Tasks = slices.Clone(less.Tasks)
			less.Tasks[0].Takes.Amount++
		}
		changed, err := expand.Expand(&less)
		if err != nil {
			t.Fatal(err)
		}
		first, err := network.Build(changed, asOf, 8*366)
		if err != nil {
			t.Fatal(err)
		}
		again := first.Again(net, asOf)
		a, ca, errA := whole.Earliest()
		b, cb, errB := again.Earliest()
		if (errA == nil) != (errB == nil) || len(ca) != len(cb) {
			t.Fatalf("seed %d: %d contradictions, %v; again %d, %v", seed, len(ca), errA, len(cb), errB)
		}
		if errA == nil && (!slices.Equal(a.Start, b.Start) || !slices.Equal(a.Finish, b.Finish)) {
			t.Fatalf("seed %d: other dates", seed)
		}
		if !slices.Equal(whole.Rest, again.Rest) || !slices.Equal(whole.Due, again.Due) || !slices.Equal(whole.Progress, again.Progress) {
			t.Fatalf("seed %d: laid out otherwise", seed)
		}
	}
}
