package scheduler_test

import (
	"slices"
	"testing"
	"time"

	"gaugerod/scheduler"
)

// TestDrawingsOfAStep asks by which drawings steps are done that are shown by name, as all
// of a typical's, by the place that they are in, and by one around it.
func TestDrawingsOfAStep(t *testing.T) {
	job := &scheduler.Job{
		Places: []scheduler.Place{{ID: "house"}, {ID: "north", Within: "house"}, {ID: "garden"}},
		Drawings: []scheduler.Drawing{
			{ID: "plan", Places: []scheduler.ID{"house"}},
			{ID: "pan", Steps: []scheduler.ID{"opening.pan"}},
			{ID: "frame", Steps: []scheduler.ID{"frame", "windows.making"}, Places: []scheduler.ID{"garden"}},
			{ID: "wall", Places: []scheduler.ID{"north", "house"}},
		},
	}
	in := func(places ...scheduler.ID) scheduler.Work { return scheduler.Work{Places: places} }
	frame := scheduler.Step{ID: "frame", Work: in("north")}
	pan := scheduler.Step{ID: "n1.pan", Typical: "opening", Local: "pan", Work: in("garden")}
	unload := scheduler.Step{ID: "windows.delivery", Order: "windows", Work: in("north")}
	making := scheduler.Step{ID: "windows.making", Order: "windows"}
	path := scheduler.Step{ID: "path", Work: in("garden", "house")}
	steps := []scheduler.Step{frame, pan, unload, making, path}
	d := scheduler.NewDrawings(scheduler.NewNetwork(job, steps, nil))
	for _, c := range []struct {
		steps []scheduler.ID
		want  []scheduler.ID
	}{
		{[]scheduler.ID{frame.ID}, []scheduler.ID{"plan", "frame", "wall"}},
		{[]scheduler.ID{pan.ID}, []scheduler.ID{"pan", "frame"}},
		{[]scheduler.ID{unload.ID}, nil}, // it is only put down there
		{[]scheduler.ID{making.ID}, []scheduler.ID{"frame"}},
		{[]scheduler.ID{path.ID}, []scheduler.ID{"plan", "frame", "wall"}},
		{[]scheduler.ID{making.ID, pan.ID}, []scheduler.ID{"pan", "frame"}},
	} {
		var got []scheduler.ID
		for _, w := range d.Of(c.steps...) {
			got = append(got, w.ID)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.steps[0], got, c.want)
		}
	}

	plan := &scheduler.Plan{}
	for k := range steps { // the first step is the last in time
		plan.Steps = append(plan.Steps, scheduler.PlannedStep{ID: steps[k].ID, State: scheduler.Waiting, Start: time.Unix(int64(-k), 0)})
	}
	expect := func(want ...scheduler.ID) {
		t.Helper()
		for k, next := range d.Next(plan) {
			var id scheduler.ID
			if next != nil {
				id = next.ID
			}
			if id != want[k] {
				t.Errorf("%s: next is %q, want %q", job.Drawings[k].ID, id, want[k])
			}
		}
	}
	expect("path", "n1.pan", "path", "path")
	plan.Steps[4].State, plan.Steps[1].State = scheduler.Complete, scheduler.Complete
	expect("frame", "", "windows.making", "frame")
}
