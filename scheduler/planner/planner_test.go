package planner_test

import (
	"context"
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

// site is the head of every job here: five days of eight hours from Monday 2 March.
const site = `
job: small
title: Small
zone: Europe/Vienna
start: 2026-03-02
week:
  monday: [08:00-16:00]
  tuesday: [08:00-16:00]
  wednesday: [08:00-16:00]
  thursday: [08:00-16:00]
  friday: [08:00-16:00]
people:
  kim: {name: Kim, role: site lead}
trades:
  framing: {title: Framing, short: FR, notice: 2 days}
  cladding: {title: Cladding, short: CL}
  maker: {title: Maker, short: MK}
places:
  house: {title: House}
  wall: {title: Wall, within: house}
`

func read(t testing.TB, text string) *scheduler.Job {
	t.Helper()
	job, err := jobfile.Read("small.job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return job
}

// plan plans a job and holds the plan against the checker.
func plan(t testing.TB, job *scheduler.Job) *scheduler.Plan {
	t.Helper()
	p, err := planner.Plan(context.Background(), job, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verify.Plan(job, p) {
		t.Error(v)
	}
	return p
}

func step(t testing.TB, p *scheduler.Plan, id scheduler.ID) *scheduler.PlannedStep {
	t.Helper()
	s := p.FindStep(id)
	if s == nil {
		t.Fatalf("no step %s", id)
	}
	return s
}

func on(t time.Time) string { return t.Format("01-02 15:04") }

func expect(t testing.TB, what, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %s, want %s", what, got, want)
	}
}

func TestTasksFollowAndShareACrew(t *testing.T) {
	p := plan(t, read(t, site+`
tasks:
  a: {title: A, trade: framing, place: house, takes: 2 days}
  b: {title: B, trade: framing, place: wall, takes: 3 days}
  c: {title: C, trade: cladding, place: wall, takes: 1 day, after: [{finish: b, least: 24 elapsed hours, reason: cure}]}
`))
	b, c := step(t, p, "b"), step(t, p, "c")
	expect(t, "b goes first, c follows from it", on(b.Start), "03-02 08:00")
	expect(t, "a has the crew after b", on(step(t, p, "a").Start), "03-05 08:00")
	expect(t, "c waits for the cure", on(c.Start), "03-06 08:00")
	if d := step(t, p, "a").Drivers[0]; d.Kind != scheduler.ByLimit || d.Step != "b" || !strings.Contains(d.Text, "one crew") {
		t.Errorf("a is held by %+v", d)
	}
	if d := c.Drivers[0]; d.Kind != scheduler.ByWait || d.Step != "b" || !strings.Contains(d.Text, "24 elapsed hours") || !strings.Contains(d.Text, "cure") {
		t.Errorf("c is held by %+v", d)
	}
	if !p.Proven || len(p.Driving) == 0 {
		t.Errorf("proven %v, driving %v", p.Proven, p.Driving)
	}
}

func TestWindowsHaveTheirFourDays(t *testing.T) {
	p := plan(t, read(t, site+`
tasks:
  a: {title: A, trade: framing, place: wall, takes: 2 days}
  long: {title: Long, trade: maker, place: house, takes: 5 days}
  b: {title: B, trade: cladding, place: wall, takes: 1 day, after: [{finish: a, reason: buried}]}
  end: {title: End, place: house, takes: 1 day, after: [{finish: b, reason: sense}, {finish: long, reason: sense}]}
dues:
  done: {title: Done, step: end, on: 2026-03-11}
`))
	for _, w := range p.Windows {
		if w.Trade != "framing" {
			continue
		}
		expect(t, "earliest", on(w.Earliest), "03-02 08:00")
		expect(t, "until", on(w.Until), "03-03 16:00")
		expect(t, "out for others", on(w.OutForOthers), "03-03 16:00")
		expect(t, "out for the due day", on(w.OutForDue), "03-09 16:00")
		expect(t, "told by, two whole working days before", on(w.TellBy), "02-26 08:00")
		if len(w.After) != 1 || w.After[0] != "cladding" {
			t.Errorf("after it come %v", w.After)
		}
		return
	}
	t.Error("framing has no window")
}

// ordered is a decision that begins an order used long after it could come.
const ordered = site + `
tasks:
  long: {title: Long, trade: framing, place: house, takes: 30 days}
  set: {title: Set, trade: cladding, place: wall, takes: 1 day, after: [{finish: long, reason: access}, {finish: windows.delivery, reason: access}]}
holds:
  sizes: {title: Sizes, kind: decision, by: kim}
orders:
  windows:
    title: Windows
    stages:
      making: {title: Making, takes: 10 days, by: maker}
      carriage: {title: Carriage, takes: 1 day, by: maker}
    receives: cladding
    places: [house]
    keep: 10 days
    after: [{finish: sizes, reason: sense}]
`

func TestDeliveriesAreHeldBack(t *testing.T) {
	p := plan(t, read(t, ordered))
	o := p.Orders[0]
	expect(t, "needed", on(o.NeedBy), "04-13 08:00")
	expect(t, "comes half its keeping time before", on(o.Delivery), "04-03 16:00")
	expect(t, "order by", on(o.OrderBy), "03-27 08:00")
	if o.FirstUse != "set" || o.Margin <= 0 {
		t.Errorf("first used by %s, margin %d", o.FirstUse, o.Margin)
	}
	var kinds []scheduler.DriverKind
	for _, d := range step(t, p, "windows.carriage").Drivers {
		kinds = append(kinds, d.Kind)
	}
	if len(kinds) == 0 || kinds[0] != scheduler.ByHeld {
		t.Errorf("carriage is held by %v", kinds)
	}
}

func TestDecisionIsNeededByTheOrderByDay(t *testing.T) {
	p := plan(t, read(t, ordered))
	for _, h := range p.Holds {
		if h.ID == "sizes" {
			expect(t, "needed", on(h.NeedBy), on(p.Orders[0].OrderBy))
			return
		}
	}
	t.Error("no hold point")
}

func TestStartedOutOfOrderKeepsItsStartAndTheRestWaits(t *testing.T) {
	text := site + `
as-of: 2026-03-04
tasks:
  a: {title: A, trade: framing, place: house, takes: 4 days}
  b: {title: B, trade: cladding, place: wall, takes: 2 days, after: [{finish: a, reason: buried}]}
facts:
  a: {started: 2026-03-02, remaining: 3 days}
  b: {started: 2026-03-03, remaining: 1 day}
`
	b := step(t, plan(t, read(t, text)), "b")
	if !b.OutOfOrder || b.State != scheduler.Underway {
		t.Errorf("out of order %v, state %s", b.OutOfOrder, b.State)
	}
	expect(t, "start kept", on(b.Start), "03-03 08:00")
	expect(t, "the rest waits for a", on(*b.Resumes), "03-09 08:00")

	b = step(t, plan(t, read(t, text+`
waivers:
  - {from: {finish: a}, to: {start: b}, by: kim, on: 2026-03-03, reason: The wall is free}
`)), "b")
	if b.OutOfOrder {
		t.Error("out of order although the wait is waived")
	}
	expect(t, "waived, the rest goes on", on(*b.Resumes), "03-04 08:00")
}

func TestContradictionsAreToldWithTheirLines(t *testing.T) {
	p := plan(t, read(t, site+`
tasks:
  a: {title: A, place: house, takes: 1 day, after: [{finish: c, reason: sense}]}
  b: {title: B, place: house, takes: 1 day, after: [{finish: a, reason: sense}]}
  c: {title: C, place: house, takes: 1 day, after: [{finish: b, reason: sense}]}
`))
	if len(p.Contradictions) != 1 || len(p.Contradictions[0].Statements) != 3 {
		t.Fatalf("contradictions: %+v", p.Contradictions)
	}
	lines := map[int]bool{}
	for _, s := range p.Contradictions[0].Statements {
		lines[s.Line] = true
	}
	if len(lines) != 3 || lines[0] {
		t.Errorf("statements stand on lines %v", lines)
	}
	dropped := 0
	for _, w := range p.Waits {
		if w.Dropped {
			dropped++
		}
	}
	if dropped != 1 {
		t.Errorf("%d waits are set aside, want one", dropped)
	}
	if len(p.Alerts) == 0 || p.Alerts[0].Kind != scheduler.Loop {
		t.Errorf("the first alert is %+v", p.Alerts)
	}
}

func TestPinAgainstADueDay(t *testing.T) {
	p := plan(t, read(t, site+`
tasks:
  a: {title: A, place: house, takes: 1 day}
  b: {title: B, place: house, takes: 2 days, after: [{finish: a, reason: sense}]}
pins:
  - {step: a, not-before: 2026-03-16, by: kim, reason: The crew is away}
dues:
  done: {title: Done, step: b, on: 2026-03-13}
`))
	if len(p.Contradictions) != 1 || p.Contradictions[0].Dropped != -1 {
		t.Fatalf("contradictions: %+v", p.Contradictions)
	}
	if n := len(p.Contradictions[0].Statements); n != 3 {
		t.Errorf("%d statements, want the pin, the wait and the due day", n)
	}
	if f := step(t, p, "b").TotalFloat; f >= 0 {
		t.Errorf("total float is %d, want it negative", f)
	}
	if !p.Dues[0].Missed || p.Dues[0].Margin >= 0 {
		t.Errorf("due day: %+v", p.Dues[0])
	}
}

func TestOccupationKeepsOthersOut(t *testing.T) {
	p := plan(t, read(t, site+`
tasks:
  up: {title: Up, trade: framing, place: wall, takes: 1 day}
  high: {title: High work, trade: cladding, place: wall, takes: 3 days, after: [{finish: up, reason: access}]}
  down: {title: Down, trade: framing, place: wall, takes: 1 day, after: [{finish: high, reason: access}]}
  other: {title: Other, trade: maker, place: wall, takes: 1 day}
occupations:
  staging: {title: Staging, place: wall, from: up, to: down, alone: true, admits: [high]}
`))
	other, up, down := step(t, p, "other"), step(t, p, "up"), step(t, p, "down")
	if other.Start.Before(down.Finish) && up.Start.Before(other.Finish) {
		t.Errorf("the other is there from %s to %s, the staging from %s to %s", on(other.Start), on(other.Finish), on(up.Start), on(down.Finish))
	}
}

func TestPlansAreTheSameEachTime(t *testing.T) {
	data, err := os.ReadFile("../../testdata/demo.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var first string
	for range 3 {
		text, err := planfile.Write(plan(t, read(t, string(data))))
		if err != nil {
			t.Fatal(err)
		}
		if first == "" {
			first = string(text)
		}
		if string(text) != first {
			t.Fatal("the same job gave another plan")
		}
	}
}

func TestPlanRefusals(t *testing.T) {
	job := read(t, site+"tasks:\n  a: {title: A, place: house, takes: 1 day}\n")
	done, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := planner.Plan(done, job, planner.Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled plan gave %v", err)
	}
	job.Waits = []scheduler.Wait{{From: scheduler.Point{Step: "nobody"}, To: scheduler.Point{Step: "a"}}}
	var faults scheduler.Faults
	if _, err := planner.Plan(context.Background(), job, planner.Options{}); !errors.As(err, &faults) {
		t.Errorf("a wait from nobody gave %v", err)
	}
	job.Waits, job.Zone = nil, "Nowhere/Land"
	if _, err := planner.Plan(context.Background(), job, planner.Options{}); err == nil {
		t.Error("a zone that does not exist went through")
	}
}

func TestAsOfOfTheOptionsComesFirst(t *testing.T) {
	job := read(t, site+"as-of: 2026-03-03\ntasks:\n  a: {title: A, place: house, takes: 1 day}\n")
	expect(t, "the job's own", on(step(t, plan(t, job), "a").Start), "03-03 08:00")
	day := worktime.NewDate(2026, 3, 10)
	p, err := planner.Plan(context.Background(), job, planner.Options{AsOf: &day})
	if err != nil {
		t.Fatal(err)
	}
	expect(t, "the option's", on(step(t, p, "a").Start), "03-10 08:00")
}

func TestDatesFarAwayAreReached(t *testing.T) {
	p := plan(t, read(t, site+`
tasks:
  a: {title: A, place: house, takes: 5000 days}
  b: {title: B, place: house, takes: 5000 days, after: [{finish: a, reason: sense}]}
`))
	if y := p.Finish.Year(); y != 2064 {
		t.Errorf("ten thousand working days end in %d", y)
	}
}
