package planner_test

import (
	"testing"
)

// TestOccupationSharesItsRoomWithItsOwnSteps: the staging takes the one room of the
// wall from its building to its striking, which need no room of their own.
func TestOccupationSharesItsRoomWithItsOwnSteps(t *testing.T) {
	p := plan(t, read(t, site+`
  north: {title: North, within: wall, room: 1}
tasks:
  up: {title: Staging up, place: north, takes: 1 day}
  down: {title: Staging down, place: north, takes: 1 day, after: [{finish: up, reason: access}]}
occupations:
  staging: {title: Staging, place: north, from: up, to: down}
`))
	if len(p.Contradictions) > 0 || !p.Proven {
		t.Fatalf("proven %v, contradictions %+v", p.Proven, p.Contradictions)
	}
	expect(t, "striking follows at once", on(step(t, p, "down").Start), "03-03 08:00")
}

// TestRecordedEndsOrderNobodyAroundAnOccupation: the staging has been built before
// the footing that should have come first, which so may come after the striking.
func TestRecordedEndsOrderNobodyAroundAnOccupation(t *testing.T) {
	p := plan(t, read(t, site+`
as-of: 2026-03-09
tasks:
  footing: {title: Footing, place: wall, takes: 1 day}
  up: {title: Staging up, place: wall, takes: 1 day, after: [{finish: footing, reason: sense}]}
  down: {title: Staging down, place: wall, takes: 1 day, after: [{finish: up, reason: sense}]}
occupations:
  staging: {title: Staging, place: wall, from: up, to: down, alone: true}
facts:
  up: {done: 2026-03-06, by: kim}
`))
	if len(p.Contradictions) > 0 {
		t.Fatalf("contradictions %+v", p.Contradictions)
	}
	expect(t, "the footing comes when the staging is down", on(step(t, p, "footing").Start), "03-10 08:00")
}
