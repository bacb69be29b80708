package planner_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/planner"
)

// TestContradictionsWithLimits: what cannot hold because somebody or something is
// scarce is told in a smallest set, and struck once it holds without any part of it.
func TestContradictionsWithLimits(t *testing.T) {
	for _, c := range []struct {
		name, job string
		says      []string // a part of each statement, the one set aside first
		mended    [][2]string
	}{
		{
			"two pins for one crew",
			`
tasks:
  a: {title: Frame, trade: framing, place: wall, takes: 1 day}
  b: {title: Prop, trade: framing, place: house, takes: 1 day}
  c: {title: Other, trade: framing, place: house, takes: 1 day}
pins:
  - {step: a, on: 2026-03-04, by: kim, reason: crane}
  - {step: b, on: 2026-03-04, by: kim, reason: road}
`,
			[]string{"“Prop” is pinned to Wed 4 Mar", "“Frame” is pinned to Wed 4 Mar", "Framing can send one crew at once, and is needed by “Frame”, “Prop”"},
			[][2]string{
				{"b, on: 2026-03-04", "b, on: 2026-03-05"},
				{"a, on: 2026-03-04", "a, on: 2026-03-03"},
				{"FR,", "FR, crews: 2,"},
			},
		},
		{
			"two most times after one step, and one crew",
			`
tasks:
  pour: {title: Pour, trade: maker, place: house, takes: 1 day}
  a: {title: Trowel, trade: framing, place: wall, takes: 1 day, after: [{finish: pour, most: 2 hours, reason: cure}]}
  b: {title: Cover, trade: framing, place: house, takes: 1 day, after: [{finish: pour, most: 3 hours, reason: cure}]}
`,
			[]string{"“Cover”", "“Trowel”", "Framing can send one crew"},
			[][2]string{{"most: 3 hours", "most: 2 days"}, {"most: 2 hours", "most: 2 days"}, {"FR,", "FR, crews: 2,"}},
		},
		{
			"room for one",
			`
tasks:
  pour: {title: Pour, trade: maker, place: house, takes: 1 day}
  a: {title: Trowel, trade: framing, place: loft, takes: 1 day, after: [{finish: pour, most: 2 hours, reason: cure}]}
  b: {title: Cover, trade: cladding, place: loft, takes: 1 day, after: [{finish: pour, most: 3 hours, reason: cure}]}
`,
			[]string{"“Cover”", "“Trowel”", "Loft has room for one task at once, and is needed by “Trowel”, “Cover”"},
			[][2]string{{"most: 3 hours", "most: 2 days"}, {"room: 1", "room: 2"}},
		},
		{
			"alone",
			`
tasks:
  pour: {title: Pour, trade: maker, place: loft, takes: 1 day}
  a: {title: Trowel, trade: framing, place: wall, takes: 1 day, alone: true, after: [{finish: pour, most: 2 hours, reason: cure}]}
  b: {title: Cover, trade: cladding, place: wall, takes: 1 day, after: [{finish: pour, most: 3 hours, reason: cure}]}
`,
			[]string{"“Cover”", "“Trowel”", "“Trowel” needs Wall alone: “Cover” would be there too"},
			[][2]string{{"most: 3 hours", "most: 2 days"}, {"alone: true, ", ""}},
		},
		{
			"an occupation",
			`
tasks:
  up: {title: Staging up, trade: framing, place: wall, takes: 1 day}
  down: {title: Staging down, trade: framing, place: wall, takes: 1 day, after: [{finish: up, least: 3 days, reason: sense}]}
  pour: {title: Pour, trade: maker, place: house, takes: 1 day}
  paint: {title: Paint, trade: cladding, place: loft, takes: 1 day, after: [{finish: pour, most: 2 hours, reason: cure}]}
occupations:
  staging: {title: Staging, place: loft, from: up, to: down}
pins:
  - {step: pour, on: 2026-03-02, by: kim, reason: mixer}
  - {step: up, on: 2026-03-02, by: kim, reason: hired}
`,
			[]string{"“Staging up” is pinned", "“Pour” is pinned", "“Paint”", "“Staging down” comes at least 3 days", "Staging is held from the start of “up”", "Loft has room for one task"},
			[][2]string{{"most: 2 hours", "most: 2 weeks"}, {"room: 1", "room: 2"}, {"up, on: 2026-03-02", "up, on: 2026-03-09"}, {"pour, on: 2026-03-02", "pour, on: 2026-03-16"}},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(site, "wall: {title: Wall, within: house}", "wall: {title: Wall, within: house}\n  loft: {title: Loft, within: house, room: 1}", 1) + c.job
			p := plan(t, read(t, text))
			if len(p.Contradictions) != 1 {
				t.Fatalf("%d contradictions: %+v", len(p.Contradictions), p.Contradictions)
			}
			set := p.Contradictions[0]
			if set.Unproven || len(set.Statements) != len(c.says) {
				t.Fatalf("%+v", set)
			}
			if aside := set.Statements[set.Dropped].Text; !strings.Contains(aside, c.says[0]) {
				t.Errorf("set aside is %q, want %q", aside, c.says[0])
			}
			for _, want := range c.says {
				if !slices.ContainsFunc(set.Statements, func(s scheduler.Statement) bool { return strings.Contains(s.Text, want) }) {
					t.Errorf("no statement says %q: %+v", want, set.Statements)
				}
			}
			for _, m := range c.mended {
				mended := strings.Replace(text, m[0], m[1], 1)
				if mended == text {
					t.Fatalf("%q is not in the job", m[0])
				}
				if p := plan(t, read(t, mended)); len(p.Contradictions) != 0 {
					t.Errorf("with %q there are still contradictions: %+v", m[1], p.Contradictions)
				}
			}
		})
	}
}

// TestBrokenOffSearchSaysSo: where no search is allowed, what an order broke is not
// called proven.
func TestBrokenOffSearchSaysSo(t *testing.T) {
	job := read(t, site+`
tasks:
  pour: {title: Pour, trade: maker, place: house, takes: 1 day}
  a: {title: Trowel, trade: framing, place: wall, takes: 1 day, after: [{finish: pour, most: 2 hours, reason: cure}]}
  b: {title: Cover, trade: framing, place: house, takes: 1 day, after: [{finish: pour, most: 3 hours, reason: cure}]}
`)
	p, err := planner.Plan(context.Background(), job, planner.Options{Effort: &levelling.Effort{Schedules: 1, Raises: 3}})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Contradictions) != 1 || !p.Contradictions[0].Unproven {
		t.Fatalf("%+v", p.Contradictions)
	}
	for _, a := range p.Alerts {
		if a.Kind == scheduler.Loop && strings.Contains(a.Sentence, "not proven") {
			return
		}
	}
	t.Errorf("no alert says that it is not proven: %+v", p.Alerts)
}
