package db_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

func TestPlanComesBack(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	revision := put(t, store, job)
	plan, err := planner.Plan(t.Context(), job, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	day := *job.AsOf
	if err := store.SavePlan(t.Context(), job.ID, revision, day, plan); err != nil {
		t.Fatal(err)
	}
	back, err := store.LoadPlan(t.Context(), job.ID, revision, day)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(plan, back, same); d != "" {
		t.Errorf("the plan came back otherwise:\n%s", d)
	}
	zone, err := time.LoadLocation(plan.Zone)
	if err != nil {
		t.Fatal(err)
	}
	const layout = "2006-01-02 15:04"
	if got, want := back.Finish.Format(layout), plan.Finish.In(zone).Format(layout); got != want {
		t.Errorf("the finish reads %s, want %s, in the zone of the job", got, want)
	}
}

func TestPlansThatAreKept(t *testing.T) {
	t.Parallel()
	clock := noon()
	store := dbtest.Open(t, func() time.Time { clock = clock.Add(time.Second); return clock })
	job := everyFeature(t)
	put(t, store, job)
	save := func(revision int64, day worktime.Date) {
		t.Helper()
		err := store.SavePlan(t.Context(), job.ID, revision, day, &scheduler.Plan{Job: job.ID, Title: day.String()})
		if err != nil {
			t.Fatal(err)
		}
	}
	want := func(revision int64, day worktime.Date, there bool) {
		t.Helper()
		plan, err := store.LoadPlan(t.Context(), job.ID, revision, day)
		switch {
		case there && (err != nil || plan.Title != day.String()):
			t.Errorf("revision %d as of %s: %v", revision, day, err)
		case !there && !errors.Is(err, scheduler.ErrNotFound):
			t.Errorf("revision %d as of %s is there still (%v)", revision, day, err)
		}
	}
	for day := range worktime.Date(20) {
		save(1, 20000+day)
	}
	want(1, 20000, false) // the oldest of many
	want(1, 20019, true)
	save(1, 20019) // once more
	want(1, 20019, true)
	save(2, 20000)
	want(1, 20019, false) // superseded
	save(1, 20001)        // a plan that was long in the making, of what is superseded
	want(2, 20000, true)
	want(3, 20000, false)
}

func TestPlanOfNoJob(t *testing.T) {
	store := open(t)
	err := store.SavePlan(t.Context(), "none", 1, 20000, &scheduler.Plan{})
	if !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("saving gave %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := store.LoadPlan(ctx, "none", 1, 20000); !errors.Is(err, context.Canceled) {
		t.Errorf("loading in a request that is over gave %v", err)
	}
}
