package api

import (
	"encoding/json"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// parsedCalendar is what testdata/calendar.mjs tells of a calendar.
type parsedCalendar struct {
	Version, Method string
	Longest         int // bytes of the longest line
	Events          []parsedEvent
}

type parsedEvent struct {
	UID                                 string
	Sequence                            int
	Status, Zone, Summary, Place, Words string
	From, Until                         time.Time
}

// calendarParser is where ical.js (MPL-2.0) is, which deploy/need fetches outside the
// repository. Where it or node cannot be had the test is skipped, and says so.
func calendarParser(t *testing.T) string {
	t.Helper()
	if _, err := exec.LookPath("node"); err != nil {
		t.Skip("No calendar is read by another program, for there is no node: ", err)
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Skip("No folder to look for ical.js in: ", err)
	}
	file := filepath.Join(cache, "gaugerod", "npm", "node_modules", "ical.js", "dist", "ical.js")
	if _, err := os.Stat(file); err != nil {
		t.Skip("No calendar is read by another program: ical.js is not here (make calendars fetches it through npm): ", err)
	}
	return file
}

// parse has the other program read a calendar; events by their names.
func parse(t *testing.T, parser string, calendar []byte) (parsedCalendar, map[string]parsedEvent) {
	t.Helper()
	node := exec.CommandContext(t.Context(), "node", "testdata/calendar.mjs", parser)
	node.Stdin = strings.NewReader(string(calendar))
	var wrong strings.Builder
	node.Stderr = &wrong
	out, err := node.Output()
	if err != nil {
		t.Fatalf("%v: %s\nof %s", err, wrong.String(), calendar)
	}
	var c parsedCalendar
	if err := json.Unmarshal(out, &c); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	by := map[string]parsedEvent{}
	for _, e := range c.Events {
		if _, twice := by[e.UID]; twice {
			t.Errorf("two events are called %s", e.UID)
		}
		by[e.UID] = e
	}
	return c, by
}

// TestAnotherProgramReadsTheCalendar has a parser that shares nothing with ours read a
// trade's calendar: every window is there at its very minute, long lines are folded and
// come back whole; what moves counts on under its name, and what goes is cancelled.
func TestAnotherProgramReadsTheCalendar(t *testing.T) {
	parser := calendarParser(t)
	s := newSite(t).withTwoFirms()
	crimson, secret := s.asTrade("two-firms", "crimson")
	read := func() (parsedCalendar, map[string]parsedEvent) {
		t.Helper()
		return parse(t, parser, s.get("/calendar/"+secret+".ics", signedOut).want(http.StatusOK).body)
	}
	c, before := read()
	if c.Version != "2.0" || c.Method != "PUBLISH" || c.Longest > 75 {
		t.Errorf("version %s, method %s, the longest line has %d bytes", c.Version, c.Method, c.Longest)
	}
	sheet, err := s.server.office.Sheet(t.Context(), "two-firms", nil)
	if err != nil {
		t.Fatal(err)
	}
	windows := 0
	for _, w := range sheet.Plan.Windows {
		if w.Trade != "crimson" {
			continue
		}
		windows++
		e, ok := before[w.ID+"@two-firms.gaugerod"]
		if !ok || !e.From.Equal(w.From) || !e.Until.Equal(w.Until) || e.Zone != sheet.Job.Zone || e.Sequence != 0 || e.Status != "" {
			t.Errorf("%s, from %s to %s, is read as %+v", w.ID, w.From, w.Until, e)
		}
		if e.Words != windowWords(sheet.Plan, w) || e.Place != placeTitles(sheet.Job)[w.Place] || !strings.HasSuffix(e.Summary, ", "+e.Place) {
			t.Errorf("its words are read as %q, %q, %q", e.Summary, e.Place, e.Words)
		}
	}
	if windows < 2 || len(before) != windows {
		t.Errorf("%d events for %d windows", len(before), windows)
	}

	const attic = "crimson.attic.scarlet-attic@two-firms.gaugerod"
	crimson.text(http.StatusOK, "POST", "/api/mine/windows/crimson.attic.scarlet-attic/cannot-come", `{"from":"2026-04-20","to":"2026-05-08"}`)
	_, moved := read()
	if is, was := moved[attic], before[attic]; is.Sequence != 1 || !is.From.After(was.From) {
		t.Errorf("the attic moves from %+v to %+v", was, is)
	}
	file := s.text(http.StatusOK, "GET", "/api/jobs/two-firms/file", "")
	given := strings.Replace(file, "title: Scarlet attic\n    trade: crimson", "title: Scarlet attic\n    trade: indigo", 1)
	s.text(http.StatusOK, "PUT", "/api/jobs/two-firms/file", given, header("Content-Type", yamlType))
	_, gone := read()
	if is := gone[attic]; is.Sequence != 2 || is.Status != "CANCELLED" {
		t.Errorf("the attic is gone, and read as %+v", is)
	}
}
