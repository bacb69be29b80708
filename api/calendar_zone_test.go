package api

import (
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
)

// written is a calendar with one event at a time in a zone, unfolded.
func written(t *testing.T, name, at string) string {
	t.Helper()
	zone, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	when, err := time.Parse(time.RFC3339, at)
	if err != nil {
		t.Fatal(err)
	}
	cal := ics.NewCalendarFor("a test")
	in := addZone(cal, zone, when, when)
	in.set(cal.AddEvent("one"), ics.ComponentPropertyDtStart, when)
	return strings.ReplaceAll(cal.Serialize(ics.WithNewLineWindows), "\r\n ", "")
}

// TestTimesByTheClocksOfTheJob has times around both clock changes of a zone, in a zone
// without any, one an odd half hour off, and in UTC.
func TestTimesByTheClocksOfTheJob(t *testing.T) {
	for _, c := range []struct {
		zone, at string
		want     []string
	}{
		{"Europe/Vienna", "2026-07-01T06:00:00Z", []string{
			"DTSTART;TZID=Europe/Vienna:20260701T080000", "BEGIN:VTIMEZONE\r\nTZID:Europe/Vienna",
			"BEGIN:DAYLIGHT\r\nDTSTART:20260329T020000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0200\r\nTZNAME:CEST\r\nEND:DAYLIGHT",
			"BEGIN:STANDARD\r\nDTSTART:20261025T030000\r\nTZOFFSETFROM:+0200\r\nTZOFFSETTO:+0100\r\nTZNAME:CET\r\nEND:STANDARD",
		}},
		{"Europe/Vienna", "2026-10-25T00:30:00Z", []string{"DTSTART;TZID=Europe/Vienna:20261025T023000"}},
		{"Europe/Vienna", "2026-10-25T01:30:00Z", []string{"DTSTART:20261025T013000Z"}}, // shown the second time
		{"Europe/Vienna", "2026-10-25T02:00:00Z", []string{"DTSTART;TZID=Europe/Vienna:20261025T030000"}},
		{"America/St_Johns", "2026-01-15T12:00:00Z", []string{"DTSTART;TZID=America/St_Johns:20260115T083000", "TZOFFSETTO:-0330", "TZOFFSETFROM:-0230"}},
		{"Asia/Kolkata", "2026-01-15T12:00:00Z", []string{"DTSTART;TZID=Asia/Kolkata:20260115T173000", "BEGIN:STANDARD", "TZOFFSETTO:+0530"}},
		{"UTC", "2026-01-15T12:00:00Z", []string{"DTSTART:20260115T120000Z"}},
	} {
		text := written(t, c.zone, c.at)
		for _, want := range c.want {
			if !strings.Contains(text, want) {
				t.Errorf("%s in %s: no %q in %s", c.at, c.zone, want, text)
			}
		}
		if tells := strings.Contains(text, "VTIMEZONE"); tells != (c.zone != "UTC") {
			t.Errorf("%s tells its zone: %v", c.zone, tells)
		}
	}
}

// TestACalendarWithoutEvents tells no zone: nothing in it has a time.
func TestACalendarWithoutEvents(t *testing.T) {
	cal := ics.NewCalendarFor("a test")
	if in := addZone(cal, time.FixedZone("X", 60), time.Time{}, time.Time{}); in.told || len(cal.Components) > 0 {
		t.Errorf("%+v", cal.Components)
	}
}
