package starter_test

import (
	"errors"
	"slices"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/starter"
	"gaugerod/scheduler/verify"
)

const empty = `job: new
title: New
zone: Europe/Vienna
start: 2026-03-02
week: {monday: [08:00-16:00], tuesday: [08:00-16:00], wednesday: [08:00-16:00], thursday: [08:00-16:00], friday: [08:00-16:00]}
`

// TestStartersFitTogether adds all of them to an empty job, in both orders: the same
// work comes of it, sound, and it follows one another.
func TestStartersFitTogether(t *testing.T) {
	all, err := starter.All()
	if err != nil || len(all) < 6 {
		t.Fatal(len(all), err)
	}
	var waits []int
	for range 2 {
		job, err := jobfile.Read("", []byte(empty))
		if err != nil {
			t.Fatal(err)
		}
		for k := range all {
			var places []scheduler.Place
			for n, title := range all[k].Places {
				places = append(places, scheduler.Place{ID: scheduler.ID(all[k].Name + "-" + string(rune('a'+n))), Title: title})
			}
			if job, err = all[k].Add(job, places); err != nil {
				t.Fatalf("%s: %v", all[k].Name, err)
			}
			if _, err := all[k].Add(job, places); !errors.Is(err, scheduler.ErrImpossible) {
				t.Errorf("%s twice: %v", all[k].Name, err)
			}
		}
		waits = append(waits, len(job.Waits))
		for k := range job.Typicals {
			waits[len(waits)-1] += len(job.Typicals[k].Waits)
		}
		as := job.Start
		plan, err := planner.Plan(t.Context(), job, planner.Options{AsOf: &as})
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range verify.Plan(job, plan) {
			t.Error(v)
		}
		dug, clad, tiled := plan.FindStep("foundation-steps-a.strip"), plan.FindStep("wall-steps-a.frame"), plan.FindStep("wet-room-steps-a.pipes")
		if dug == nil || clad == nil || tiled == nil || clad.Start.Before(dug.Finish) || tiled.Start.Before(clad.Finish) {
			t.Error("they do not follow each other")
		}
		slices.Reverse(all)
	}
	if waits[0] != waits[1] {
		t.Errorf("%d waits in one order, %d in the other", waits[0], waits[1])
	}
}
