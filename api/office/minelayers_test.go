package office

import (
	"slices"
	"testing"

	"gaugerod/scheduler"
)

// TestWhatMayNotBeCovered has a window that puts one layer there that nobody has seen, and
// covers another: each is named by the step that puts it there, and once.
func TestWhatMayNotBeCovered(t *testing.T) {
	plan := &scheduler.Plan{Covers: []scheduler.PlannedCover{
		{Step: "pan", CoveredBy: "frame", Unseen: []scheduler.ID{"look"}},
		{Step: "frame", CoveredBy: "lining", Unseen: []scheduler.ID{"look-again"}},
		{Step: "frame", CoveredBy: "lining", Unseen: []scheduler.ID{"look-thrice"}},
		{Step: "frame", CoveredBy: "trim"},                                         // seen already
		{Step: "board", CoveredBy: "paint", Unseen: []scheduler.ID{"look"}},        // others'
		{Step: "frame", CoveredBy: "glass", Unseen: []scheduler.ID{"look-at-all"}}, // one's own over one's own
	}}
	v := &mineView{Sheet: &Sheet{Plan: plan}, steps: map[scheduler.ID]*scheduler.PlannedStep{
		"pan": {Title: "Sill pan"}, "frame": {Title: "Frame"}, "board": {Title: "Board"},
	}}
	got := v.open(&scheduler.Window{Steps: []scheduler.ID{"frame", "glass"}})
	if want := []MyLayer{{Title: "Sill pan"}, {Title: "Frame", Own: true}}; !slices.Equal(got, want) {
		t.Errorf("open are %v, not %v", got, want)
	}
}

// TestWhatATradeBrings has one step that puts two layers of a build-up there.
func TestWhatATradeBrings(t *testing.T) {
	job := &scheduler.Job{
		BuildUps: []scheduler.BuildUp{{ID: "wall", Layers: []scheduler.Layer{
			{ID: "board", By: "boards", Material: "timber board", Thickness: 18},
			{ID: "felt", By: "felts", Material: "felt"},
			{ID: "tape", By: "felts", Material: "tape"},
			{ID: "batten", By: "battens", Material: "batten", Thickness: 40},
		}}},
		Gear: []scheduler.Gear{{ID: "lift", Title: "The lift"}},
	}
	n := scheduler.NewNetwork(job, []scheduler.Step{{ID: "felts", Work: scheduler.Work{Gear: []scheduler.ID{"lift"}}}, {ID: "battens"}}, nil)
	n.Covers = []scheduler.Cover{
		{BuildUp: "wall", Layer: "board", Step: "boards", CoveredBy: "felts"},
		{BuildUp: "wall", Layer: "tape", Step: "felts", CoveredBy: "battens"},
	}
	v := &mineView{Sheet: &Sheet{Job: job, Network: n}}
	w := &scheduler.Window{Steps: []scheduler.ID{"felts"}}
	if got := v.brings(w); !slices.Equal(got, []string{"felt", "tape"}) {
		t.Errorf("it brings %v", got)
	}
	if got := v.gear(w); !slices.Equal(got, []string{"The lift"}) {
		t.Errorf("it finds %v", got)
	}
	if got := v.brings(&scheduler.Window{Steps: []scheduler.ID{"battens"}}); !slices.Equal(got, []string{"batten, 40 mm"}) {
		t.Errorf("the last layer is of %v", got)
	}
}
