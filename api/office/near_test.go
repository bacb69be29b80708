package office_test

import (
	"context"
	"io"
	"testing"

	"github.com/rs/zerolog"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// twoWays is a job in which b need not wait any longer once a takes less time.
func twoWays() scheduler.Job {
	day := []worktime.Period{{From: 8 * 60, To: 16 * 60}}
	asOf := worktime.NewDate(2026, 3, 2)
	days := func(n int32) worktime.Span { return worktime.Span{Amount: n, Unit: worktime.Days} }
	task := func(id scheduler.ID, n int32) scheduler.Task {
		return scheduler.Task{ID: id, Title: string(id), Work: scheduler.Work{Crews: 1, Takes: days(n)}}
	}
	return scheduler.Job{
		ID: "shed", Title: "Shed", Zone: "Europe/Vienna", Start: asOf, AsOf: &asOf,
		Week:  worktime.Week{1: day, 2: day, 3: day, 4: day, 5: day},
		Tasks: []scheduler.Task{task("a", 4), task("b", 2), task("long", 20)},
		Waits: []scheduler.Wait{{From: scheduler.Point{Step: "a", End: scheduler.Finish}, To: scheduler.Point{Step: "b"}}},
	}
}

// TestChangesArePlannedNearThePlanBefore: a change that would let a step start
// earlier leaves it where people expect it, in a running office and in one that has
// only the stored plan to go on from.
func TestChangesArePlannedNearThePlanBefore(t *testing.T) {
	for _, restarted := range []bool{false, true} {
		store := newMemory(twoWays())
		opened := func() *office.Office {
			o := office.New(store, clock, zerolog.New(io.Discard))
			t.Cleanup(o.Close)
			return o
		}
		o := opened()
		was := sheet(t, o, nil).Plan.FindStep("b").Start
		if restarted {
			o = opened()
			sheet(t, o, nil)
		}
		other := worktime.NewDate(2026, 3, 3)
		sheet(t, o, &other) // a plan as of another day is nothing to stay near
		s, err := o.Change(context.Background(), "shed", db.By("kim"), func(j *scheduler.Job) error {
			tasks := append([]scheduler.Task(nil), j.Tasks...)
			tasks[0].Takes.Amount = 1
			j.Tasks = tasks
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		b := s.Plan.FindStep("b")
		if !b.Start.Equal(was) || len(b.Drivers) == 0 || b.Drivers[0].Kind != scheduler.ByBefore {
			t.Errorf("restarted %v: b starts %s, held by %+v, want %s by the plan before", restarted, b.Start, b.Drivers, was)
		}
		cold := sheet(t, o, &other).Plan.FindStep("b")
		if !cold.Start.Before(was) {
			t.Errorf("restarted %v: as of another day b starts %s, not earlier", restarted, cold.Start)
		}
	}
}
