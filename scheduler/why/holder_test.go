package why_test

import (
	"errors"
	"slices"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/why"
)

// forked is a step that two chains hold: one through a pour whose crew was elsewhere,
// one through a delivery that was announced; what has been done holds both no more.
func forked() *scheduler.Plan {
	by := func(kind scheduler.DriverKind, step scheduler.ID) scheduler.Driver {
		return scheduler.Driver{Kind: kind, Step: step}
	}
	return &scheduler.Plan{Steps: []scheduler.PlannedStep{
		{ID: "set", Rest: 60, Drivers: []scheduler.Driver{by(scheduler.ByWait, "ready")}},
		{ID: "ready", Rest: 30, Drivers: []scheduler.Driver{by(scheduler.ByWait, "pour"), by(scheduler.ByWait, "come")}},
		{ID: "pour", Rest: 60, Trades: []scheduler.ID{"masons", "helpers"}, Drivers: []scheduler.Driver{by(scheduler.ByLimit, "dig")}},
		{ID: "dig", Rest: 60, Trades: []scheduler.ID{"masons"}, Drivers: []scheduler.Driver{by(scheduler.ByPin, "")}},
		{ID: "come", Drivers: []scheduler.Driver{by(scheduler.ByExpected, "")}},
		{ID: "past", State: scheduler.Complete, Rest: 5, Drivers: []scheduler.Driver{by(scheduler.ByFact, "")}},
		{ID: "loop", Rest: 5, Drivers: []scheduler.Driver{by(scheduler.ByEachOther, "loop"), by(scheduler.ByWait, "past")}},
		{ID: "lost", Drivers: []scheduler.Driver{by(scheduler.ByLimit, "nowhere")}},
	}}
}

func TestHoldersOnBothChains(t *testing.T) {
	got, err := why.Holders(forked(), "set")
	if err != nil {
		t.Fatal(err)
	}
	want := []why.Holder{
		{Kind: why.Work, Step: "ready", Only: true},
		{Kind: why.Work, Step: "pour"},
		{Kind: why.Crew, Step: "pour", Trade: "masons"},
		{Kind: why.Word, Step: "come"},
		{Kind: why.Work, Step: "dig"},
		{Kind: why.Pin, Step: "dig"},
	}
	if !slices.Equal(got, want) {
		t.Errorf("what could give way is\n%+v, not\n%+v", got, want)
	}
}

func TestHoldersOnOneChainAreAllNeeded(t *testing.T) {
	got, err := why.Holders(forked(), "pour")
	if err != nil || len(got) != 3 || slices.ContainsFunc(got, func(h why.Holder) bool { return !h.Only }) {
		t.Errorf("on a single chain: %+v, %v", got, err)
	}
}

func TestNothingCouldGiveWay(t *testing.T) {
	for _, step := range []scheduler.ID{"past", "loop", "lost"} {
		if got, err := why.Holders(forked(), step); err != nil || len(got) > 0 {
			t.Errorf("%s: %+v, %v", step, got, err)
		}
	}
	if _, err := why.Holders(forked(), "nobody"); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("error is %v", err)
	}
}
