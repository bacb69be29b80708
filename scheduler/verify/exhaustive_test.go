package verify_test

import (
	"testing"
	"time"

	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/verify"
)

// crewHead is a week of eight-hour days from Monday 2 March 2026 and a trade with one crew.
const crewHead = `
job: small
title: Small
zone: UTC
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
  crew: {title: Crew, short: CR}
places:
  house: {title: House}
  hall: {title: Hall, within: house, room: 1}
`

// TestExhaustAgainstHandCount tries jobs whose best dates are seen at a glance.
func TestExhaustAgainstHandCount(t *testing.T) {
	for _, c := range []struct {
		name, job string
		found     bool
		late      int64
		finish    string
	}{
		{"one crew goes first to what is waited for", `
tasks:
  a: {title: A, trade: crew, place: house, takes: 2 days}
  b: {title: B, trade: crew, place: house, takes: 1 day}
  c: {title: C, place: house, takes: 3 days, after: [{finish: b}]}
`, true, 0, "03-05 16:00"},
		{"a due day comes before the finish", `
tasks:
  a: {title: A, trade: crew, place: house, takes: 2 days}
  b: {title: B, trade: crew, place: house, takes: 1 day}
  c: {title: C, place: house, takes: 3 days, after: [{finish: b}]}
dues:
  early: {title: Early, step: a, on: 2026-03-03}
`, true, 0, "03-09 16:00"},
		{"two due days cannot both be kept", `
tasks:
  a: {title: A, trade: crew, place: house, takes: 2 days}
  b: {title: B, trade: crew, place: house, takes: 1 day}
dues:
  a: {title: A, step: a, on: 2026-03-03}
  b: {title: B, step: b, on: 2026-03-02}
`, true, 16 * 60, "03-04 16:00"},
		{"a most time that one crew cannot keep", `
tasks:
  a: {title: A, trade: crew, place: house, takes: 2 days}
  b: {title: B, trade: crew, place: house, takes: 1 day, after: [{start: a, most: 1 day}]}
`, false, 0, ""},
		{"the same with the order turned", `
tasks:
  a: {title: A, trade: crew, place: house, takes: 2 days}
  b: {title: B, trade: crew, place: house, takes: 1 day}
waits:
  - {from: {start: a}, to: {finish: b}, most: 3 days}
`, true, 0, "03-04 16:00"},
		{"a room that is held, and whom its own steps do not crowd", `
tasks:
  up: {title: Up, place: hall, takes: 1 day}
  down: {title: Down, place: hall, takes: 1 day, after: [{finish: up}]}
  in: {title: In, place: hall, takes: 1 day}
occupations:
  staging: {title: Staging, place: hall, from: up, to: down}
`, true, 0, "03-04 16:00"},
		{"alone in the house", `
tasks:
  a: {title: A, place: house, takes: 1 day, alone: true}
  b: {title: B, place: hall, takes: 1 day}
`, true, 0, "03-03 16:00"},
		{"a pin past its day", `
tasks:
  a: {title: A, place: house, takes: 2 days}
  b: {title: B, place: house, takes: 1 day, after: [{finish: a}]}
pins:
  - {step: b, on: 2026-03-03, by: kim}
`, false, 0, ""},
		{"the rest of what has begun", `
as-of: 2026-03-05
tasks:
  a: {title: A, trade: crew, place: house, takes: 4 days}
  b: {title: B, trade: crew, place: house, takes: 1 day}
facts:
  a: {started: 2026-03-03, by: kim}
`, true, 0, "03-09 16:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, err := jobfile.Read("small.job.yaml", []byte(crewHead+c.job))
			if err != nil {
				t.Fatal(err)
			}
			asOf := job.Start
			if job.AsOf != nil {
				asOf = *job.AsOf
			}
			got, known := verify.Exhaust(job, asOf.At(0, time.UTC).Time(time.UTC), 1000)
			if !known || got.Found != c.found || got.Late != c.late || c.found && got.Finish.Format("01-02 15:04") != c.finish {
				t.Errorf("known %v: %+v, want found %v, %d late, %s", known, got, c.found, c.late, c.finish)
			}
		})
	}
}

func TestExhaustOwnsUpWhenItCannotTell(t *testing.T) {
	job, err := jobfile.Read("small.job.yaml", []byte(crewHead+`
tasks:
  a: {title: A, trade: crew, place: house, takes: 2 days}
  b: {title: B, trade: crew, place: house, takes: 1 day}
`))
	if err != nil {
		t.Fatal(err)
	}
	asOf := job.Start.At(0, time.UTC).Time(time.UTC)
	if _, known := verify.Exhaust(job, asOf, 2); known {
		t.Error("two sets of dates are not every order of two steps")
	}
	job.Zone = "Nowhere/At-all"
	if _, known := verify.Exhaust(job, asOf, 1000); known {
		t.Error("a job without a time zone is known")
	}
}
