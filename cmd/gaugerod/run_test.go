package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
)

// inside runs a command line in this process, with a clock that stands still.
func inside(t *testing.T, ctx context.Context, args ...string) outcome {
	t.Helper()
	var out, errs bytes.Buffer
	status := run(ctx, args, streams{
		in: strings.NewReader(""), out: &out, err: &errs,
		now: func() time.Time { return time.Date(2026, time.April, 27, 22, 30, 0, 0, time.UTC) },
	})
	return outcome{out.String(), errs.String(), status}
}

func TestTodayIsTheDayInTheZoneOfTheJob(t *testing.T) {
	got := inside(t, t.Context(), "plan", everyFeature, "--as-of", "today")
	if !strings.Contains(got.out, "As of Tuesday 28 April 2026") { // 00:30 in Vienna
		t.Errorf("status %d:\n%s%s", got.status, got.out, got.err)
	}
}

func TestAPlanThatIsBrokenOffIsNoPlan(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if got := inside(t, ctx, "plan", everyFeature); got.status != statusBad || got.out != "" {
		t.Errorf("status %d:\n%s", got.status, got.out)
	}
}

type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

func TestWhatCannotBeWrittenIsAnError(t *testing.T) {
	for _, args := range [][]string{
		{"plan", everyFeature},
		{"plan", everyFeature, "--json"},
		{"plan", everyFeature, "--why", "clad"},
		{"plan", everyFeature, "--checks"},
		{"check", everyFeature},
		{"schema"},
		{"version"},
		{"completion", "bash"},
	} {
		var errs bytes.Buffer
		if status := run(t.Context(), args, streams{out: brokenPipe{}, err: &errs, now: time.Now}); status != statusBad || errs.Len() == 0 {
			t.Errorf("%v: status %d: %s", args, status, &errs)
		}
	}
}

func TestSay(t *testing.T) {
	for name, c := range map[string]struct {
		err    error
		status int
		text   string
	}{
		"nothing":   {nil, statusClean, ""},
		"grave":     {errGrave, statusGrave, ""},
		"said":      {errSaid, statusBad, ""},
		"faults":    {scheduler.Faults{{File: "a", Pos: scheduler.Pos{Line: 2, Column: 3}, What: "no such unit", Mend: "write days"}}, statusBad, "a:2:3: no such unit; write days\n"},
		"Ctrl-C":    {fmt.Errorf("plan: %w", context.Canceled), statusBad, "gaugerod: broken off\n"},
		"any other": {errors.New("no room"), statusBad, "gaugerod: no room\n"},
	} {
		var b bytes.Buffer
		if status := say(&b, c.err); status != c.status || b.String() != c.text {
			t.Errorf("%s: status %d, %q", name, status, b.String())
		}
	}
}

func TestPutAsideAlertsAreNotGrave(t *testing.T) {
	plan := &scheduler.Plan{Alerts: []scheduler.Alert{
		{Severity: scheduler.Act},
		{Severity: scheduler.Grave, Aside: "seen, and taken on"},
	}}
	if err := gravest(plan); err != nil {
		t.Errorf("%v", err)
	}
	plan.Alerts = append(plan.Alerts, scheduler.Alert{Severity: scheduler.Grave})
	if err := gravest(plan); !errors.Is(err, errGrave) {
		t.Errorf("%v", err)
	}
}

func TestProgressIsSaidOnlyWhenItTakesLong(t *testing.T) {
	var quick bytes.Buffer
	if err := duringEvery(&quick, "Planning", time.Minute, func() error { return errGrave }); !errors.Is(err, errGrave) || quick.Len() > 0 {
		t.Errorf("%v, %q", err, &quick)
	}
	var slow bytes.Buffer
	if err := duringEvery(&slow, "Planning", time.Millisecond, func() error { time.Sleep(50 * time.Millisecond); return nil }); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(slow.String()), "\n")
	if lines[0] != "Planning … 0 s" || len(lines) > 6 {
		t.Errorf("%q", lines)
	}
}

func TestPaper(t *testing.T) {
	for _, c := range []struct {
		flags  paperFlags
		width  int
		colour bool
	}{
		{paperFlags{Colour: "auto"}, 100, false}, // no terminal
		{paperFlags{Colour: "always", Width: 60}, 60, true},
		{paperFlags{Colour: "always", Width: 5}, 40, true}, // narrower than anything can be read in
		{paperFlags{Colour: "never"}, 100, false},
	} {
		var b bytes.Buffer
		paper := c.flags.paper(&b)
		paper.Title("x")
		if paper.Width() != c.width || strings.Contains(b.String(), "\x1b") != c.colour {
			t.Errorf("%+v: %d columns, %q", c.flags, paper.Width(), b.String())
		}
	}
}

func TestAFileThatCannotBeAJobIsNotReadWhole(t *testing.T) {
	path := filepath.Join(t.TempDir(), "huge.yaml")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(path, maxJobFile+1); err != nil {
		t.Fatal(err)
	}
	if got := inside(t, t.Context(), "check", path); got.status != statusBad || !strings.Contains(got.err, "larger than 32 MiB") {
		t.Errorf("status %d: %s", got.status, got.err)
	}
}
