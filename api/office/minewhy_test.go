package office

import (
	"testing"
	"time"

	"gaugerod/scheduler"
)

// TestWhyATradeComesThen has a step that waits for what the trade knows of, for work of
// others that it does not, and for a crew: others are never named.
func TestWhyATradeComesThen(t *testing.T) {
	day := time.Date(2026, 6, 17, 16, 0, 0, 0, time.UTC)
	steps := []scheduler.PlannedStep{
		{ID: "pan", Title: "Sill pan", Finish: day},
		{ID: "secret", Title: "The bath of the neighbours", Finish: day},
		{
			ID: "frame", Title: "Frame", Start: day, Needs: []scheduler.Need{{Step: "pan"}},
			Drivers: []scheduler.Driver{
				{Kind: scheduler.ByWait, Step: "pan"},
				{Kind: scheduler.ByLimit, Step: "secret", Text: "The bath of the neighbours goes first"},
				{Kind: scheduler.ByLimit, Step: "secret", Text: "The bath of the neighbours goes first again"},
				{Kind: scheduler.ByNotice},
			},
		},
		{ID: "over", State: scheduler.Complete},
	}
	v := &mineView{Sheet: &Sheet{Network: scheduler.NewNetwork(&scheduler.Job{}, []scheduler.Step{{ID: "frame"}}, nil)}, trade: &scheduler.Trade{ID: "setters"}, steps: map[scheduler.ID]*scheduler.PlannedStep{}}
	for k := range steps {
		v.steps[steps[k].ID] = &steps[k]
	}
	got := v.why(&scheduler.Window{Steps: []scheduler.ID{"over", "frame"}})
	want := []string{"“Sill pan” comes first", "the place, or what you need there, is in use before", "it has to be announced some days ahead"}
	if len(got) != len(want) {
		t.Fatalf("told are %v", got)
	}
	for k := range want {
		if got[k].Text != want[k] || (got[k].On != nil) != (k == 0) {
			t.Errorf("told is %v, not %q", got[k], want[k])
		}
	}
	if got := v.why(&scheduler.Window{Steps: []scheduler.ID{"over"}}); len(got) != 0 {
		t.Errorf("of what is over is told %v", got)
	}
}

// TestEveryReasonHasWordsForATrade goes over all kinds of drivers that plans know.
func TestEveryReasonHasWordsForATrade(t *testing.T) {
	for _, kind := range []scheduler.DriverKind{
		scheduler.ByWait, scheduler.ByLimit, scheduler.ByCalendar, scheduler.ByAsOf, scheduler.ByStart, scheduler.ByPin, scheduler.ByExpected, scheduler.ByNotice,
		scheduler.ByBooked, scheduler.ByFact, scheduler.ByHeld, scheduler.ByVisit, scheduler.ByBefore, scheduler.ByEachOther,
	} {
		if reasonsOfOthers[kind] == "" {
			t.Errorf("%q has no words", kind)
		}
	}
}
