package web

import (
	"testing"
	"time"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// TestWhatBecameOfPromises has a job of one trade with a promise of each fate, and reads
// each on the page of the week after.
func TestWhatBecameOfPromises(t *testing.T) {
	s := newSite(t, demo)
	b, err := newBoard(s.sheet(), readAt, false)
	if err != nil {
		t.Fatal(err)
	}
	day := func(text string) worktime.Date {
		d, err := worktime.ParseDate(text)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	w := b.weekOf(day("2026-06-22"))
	fate := func(state scheduler.State, finish string) *scheduler.PlannedStep {
		from := day(finish).At(0, b.zone).Time(b.zone)
		return &scheduler.PlannedStep{
			Trades: []scheduler.ID{"t"}, Places: []scheduler.ID{"p"}, State: state,
			Start: from.Add(-17 * time.Hour), Finish: from.Add(16 * time.Hour),
		}
	}
	for _, c := range []struct {
		name string
		step *scheduler.PlannedStep
		word string
		good bool
	}{
		{"done in time", fate(scheduler.Complete, "2026-06-18"), "kept", true},
		{"done after", fate(scheduler.Complete, "2026-06-20"), "late", false},
		{"begun", fate(scheduler.Underway, "2026-06-24"), "not done", false},
		{"not begun", fate(scheduler.Waiting, "2026-06-26"), "not done", false},
		{"taken away", nil, "gone", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			b.steps = map[scheduler.ID]*scheduler.PlannedStep{}
			if c.step != nil {
				b.steps["s"] = c.step
			}
			b.facts = map[scheduler.ID]*scheduler.Fact{"s": {Step: "s", Note: "the lift stood still"}}
			job := *b.Job
			job.Promises = []scheduler.Promise{
				{Trade: "t", Place: "p", Steps: []scheduler.ID{"s"}, From: day("2026-06-17"), Until: day("2026-06-19")},
				{Trade: "t", Place: "p", Steps: []scheduler.ID{"s"}, From: day("2026-06-10"), Until: day("2026-06-12")}, // another week's
			}
			b.Sheet = &office.Sheet{Job: &job, Plan: b.Plan, Network: b.Network, AsOf: day("2026-06-22")}
			got := b.weekBefore(w)
			if len(got.Each) != 1 || got.Each[0].Word != c.word || got.Each[0].Good != c.good {
				t.Fatalf("it became %+v", got.Each)
			}
			if told := len(got.Each[0].Cause) == 1; told != (!c.good && c.step != nil) {
				t.Errorf("the cause is told as %v", got.Each[0].Cause)
			}
		})
	}
}
