package planner_test

import (
	"slices"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/verify"
)

// TestAimsInWords plans small jobs whose best plan is plain, and reads what each plan
// says of its aims.
func TestAimsInWords(t *testing.T) {
	for _, c := range []struct {
		name, job string
		want      map[scheduler.AimKind]string
	}{
		{"all as it should be", `
tasks:
  frame: {title: Frame, trade: framing, place: house, takes: 2 days}
  clad: {title: Clad, trade: cladding, place: house, takes: 1 day, after: [{finish: frame, reason: sense}]}
dues:
  done: {title: Done, step: clad, on: 2026-03-06}
`, map[scheduler.AimKind]string{
			scheduler.AimDueDays:    "No due day is missed.",
			scheduler.AimFinish:     "The finish is the earliest possible, proven: the longest chain of waits, over 2 steps from “Frame” to “Clad”.",
			scheduler.AimVisits:     "Each trade comes to the site once: 2 visits by 2 trades to the site.",
			scheduler.AimDeliveries: "No goods lie on site for longer than they may.",
		}},
		{"late by the waits alone", `
tasks:
  frame: {title: Frame, trade: framing, place: house, takes: 3 days}
dues:
  done: {title: Done, step: frame, on: 2026-03-03}
`, map[scheduler.AimKind]string{
			scheduler.AimDueDays: "Due days are missed by 16 hours in all, by the clock, the least possible, proven: the waits alone leave no other way.",
			scheduler.AimFinish:  "The finish is the earliest possible, proven: the length of “Frame” alone.",
		}},
		{"two who cannot both be in time", `
tasks:
  one: {title: One, trade: framing, place: house, takes: 3 days}
  two: {title: Two, trade: framing, place: wall, takes: 1 day}
dues:
  first: {title: First, step: one, on: 2026-03-04}
  second: {title: Second, step: two, on: 2026-03-02}
`, map[scheduler.AimKind]string{
			scheduler.AimDueDays: "Due days are missed by 16 hours in all, by the clock, the least possible, proven: every other order of those who share crews, places and gear has been ruled out.",
			scheduler.AimFinish:  "The finish is the earliest possible, proven: the load of Framing: 2 steps, 4 working days of work that cannot start before Mon 2 Mar 2026, 08:00, and what must follow it.",
		}},
		{"a trade that waits for its second task", `
tasks:
  small: {title: Small, trade: framing, place: house, takes: 1 day}
  long: {title: Long, trade: cladding, place: house, takes: 8 days}
  after: {title: After, trade: framing, place: house, takes: 1 day, after: [{finish: long, reason: sense}]}
`, map[scheduler.AimKind]string{
			scheduler.AimVisits: "Each trade comes to the site once: 2 visits by 2 trades to the site.",
		}},
		{"a trade that has to come twice", `
tasks:
  small: {title: Small, trade: framing, place: house, takes: 1 day}
  after: {title: After, trade: framing, place: house, takes: 1 day, after: [{finish: small, least: 7 days, reason: cure}]}
`, map[scheduler.AimKind]string{
			scheduler.AimVisits: "2 visits by one trade to the site, the fewest possible with this finish, proven: the waits keep the work of each trade so far apart.",
		}},
		{"goods on their way that come too early", `
orders:
  boards:
    title: Boards
    supplier: kim
    keep: 2 days
    stages:
      making: {title: Made, takes: 1 day, by: kim}
    places: [house]
tasks:
  long: {title: Long, trade: cladding, place: house, takes: 9 days}
  use: {title: Use, trade: framing, place: house, takes: 1 day, after: [{finish: long, reason: sense}, {finish: boards.delivery, reason: access}]}
facts:
  boards.making: {started: 2026-03-02, by: kim}
`, map[scheduler.AimKind]string{
			scheduler.AimDeliveries: "Goods of one order lie on site for longer than they may, and with all other dates as they are cannot come later: Boards.",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := plan(t, read(t, site+c.job))
			for _, a := range p.Aims {
				if want, ok := c.want[a.Kind]; ok && (a.Text != want || !a.Proven) {
					t.Errorf("%s: %q, proven: %v; want %q", a.Kind, a.Text, a.Proven, want)
				}
			}
		})
	}
}

// TestStepWaitsForItsTradesVisit holds a step that waits until its trade comes anyway
// to its place and to its reason.
func TestStepWaitsForItsTradesVisit(t *testing.T) {
	p := plan(t, read(t, site+`
tasks:
  small: {title: Small, trade: framing, place: house, takes: 1 day}
  long: {title: Long, trade: cladding, place: house, takes: 8 days}
  after: {title: After, trade: framing, place: house, takes: 1 day, after: [{finish: long, reason: sense}]}
`))
	s := p.FindStep("small")
	if got := s.Start.Format("Mon 2 Jan 15:04"); got != "Tue 10 Mar 08:00" {
		t.Errorf("it starts on %s", got)
	}
	want := "it could start on Mon 2 Mar 2026, 08:00, but Framing would have to come once more for it"
	if len(s.Drivers) != 1 || s.Drivers[0].Kind != scheduler.ByVisit || s.Drivers[0].Text != want {
		t.Errorf("reasons %+v", s.Drivers)
	}
}

// TestOpenAimsSaySo plans random jobs with next to no search: an aim that is not proven
// is called so, with what bounds it.
func TestOpenAimsSaySo(t *testing.T) {
	words := map[scheduler.AimKind][]string{
		scheduler.AimDueDays: {"not proven the least possible"},
		scheduler.AimFinish:  {"of the least possible: no plan", "No plan that misses due days as little finishes earlier"},
		scheduler.AimVisits:  {"not proven the fewest: at least"},
	}
	open := map[scheduler.AimKind]int{}
	for seed := range uint64(60) {
		text, err := jobfile.Write(randomjob.New(seed, randomjob.Size{Steps: 30, Tight: 10}))
		if err != nil {
			t.Fatal(err)
		}
		job := read(t, string(text))
		p, err := planner.Plan(t.Context(), job, planner.Options{Effort: &levelling.Effort{Schedules: 1, Raises: 200}})
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range verify.Plan(job, p) {
			t.Errorf("seed %d: %v", seed, v)
		}
		for _, a := range p.Aims {
			if a.Proven {
				continue
			}
			open[a.Kind]++
			if list, ok := words[a.Kind]; ok && !slices.ContainsFunc(list, func(w string) bool { return strings.Contains(a.Text, w) }) {
				t.Errorf("seed %d: %s is not proven: %q", seed, a.Kind, a.Text)
			}
		}
	}
	t.Log(open)
	for kind := range words {
		if open[kind] < 4 {
			t.Errorf("%s was open only %d times: the test shows little", kind, open[kind])
		}
	}
}

// TestGoodsComeWithALaterVisit lets a trade unload goods on the visit on which it uses
// them, rather than on an earlier one that would do as well.
func TestGoodsComeWithALaterVisit(t *testing.T) {
	p := plan(t, read(t, site+`
orders:
  boards:
    title: Boards
    supplier: maker
    keep: 3 days
    stages:
      making: {title: Made, takes: 1 day, by: maker}
    receives: framing
    places: [house]
    unload: 1 hour
tasks:
  first: {title: First, trade: framing, place: wall, takes: 2 days}
  long: {title: Long, trade: cladding, place: house, takes: 12 days, after: [{finish: first, reason: sense}]}
  use: {title: Use, trade: framing, place: wall, takes: 1 day, after: [{finish: long, reason: sense}, {finish: boards.delivery, reason: access}]}
pins:
  - {step: first, on: 2026-03-02, by: kim, reason: The scaffold is there then}
`))
	if a := p.Aims[2]; a.Reached != 3 {
		t.Errorf("%q", a.Text)
	}
	if a := p.Aims[3]; a.Reached != 0 || a.Text != "No goods lie on site for longer than they may." {
		t.Errorf("%q, and they come on %s", a.Text, p.Orders[0].Delivery.Format("Mon 2 Jan"))
	}
}
