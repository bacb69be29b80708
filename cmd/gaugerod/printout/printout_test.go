package printout_test

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/cmd/gaugerod/printout"
	"gaugerod/cmd/gaugerod/terminal"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/selfcheck"
	"gaugerod/scheduler/why"
)

var update = flag.Bool("update", false, "write the golden files anew")

// at is a moment of May 2026, "18 07:30"; 24:00 is written as 00:00 of the next day.
func at(t *testing.T, text string) time.Time {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Fatal(err)
	}
	moment, err := time.ParseInLocation("2006-01-2 15:04", "2026-05-"+text, zone)
	if err != nil {
		t.Fatal(err)
	}
	return moment
}

// shed is a small invented job with its plan, written by hand so that what it looks
// like depends on nothing but this package.
func shed(t *testing.T) (*scheduler.Job, *scheduler.Plan) {
	t.Helper()
	job := &scheduler.Job{
		ID: "shed", Title: "A shed", Zone: "Europe/Vienna",
		People: []scheduler.Person{{ID: "kim", Name: "Kim Example"}, {ID: "bo", Name: "Bo Example"}},
		Trades: []scheduler.Trade{{ID: "framing", Title: "Framing gang"}, {ID: "setters", Title: "Window setters"}},
		Places: []scheduler.Place{
			{ID: "house", Title: "House"},
			{ID: "north", Title: "北の壁 North wall", Within: "house"},
			{ID: "opening", Title: "Opening N1", Within: "north"},
			{ID: "garden", Title: "Garden"},
		},
		Orders: []scheduler.Order{{ID: "windows", Stages: []scheduler.Stage{{ID: "making", By: "setters"}}}},
	}
	told, booked := at(t, "19 16:00"), at(t, "22 09:00")
	plan := &scheduler.Plan{
		Job: "shed", Title: "A shed", Zone: job.Zone, AsOf: at(t, "18 00:00"), DayMinutes: 480,
		Finish: at(t, "29 16:00"), EarliestFinish: at(t, "27 16:00"), Bound: at(t, "28 16:00"), BoundReason: "the longest chain of waits",
		Aims: []scheduler.Aim{
			{Kind: scheduler.AimDueDays, Reached: 960, Least: 960, Proven: true, Text: "Due days are missed by 16 hours in all, by the clock, the least possible, proven: the waits alone leave no other way."},
			{Kind: scheduler.AimFinish, Reached: 4200, Least: 3720, Text: "The finish is within one working day of the least possible: no plan finishes before Thu 28 May 2026, 16:00: the longest chain of waits."},
		},
		Steps: []scheduler.PlannedStep{
			{ID: "dig", Title: "Dig", State: scheduler.Complete, Start: at(t, "11 07:30"), Finish: at(t, "12 16:00"), Trades: []scheduler.ID{"framing"}, Places: []scheduler.ID{"garden"}},
			{
				ID: "frame", Title: "Frame and brace", State: scheduler.Underway, Start: at(t, "15 07:30"), Finish: at(t, "20 16:00"), Rest: 1440, Slack: 0, Critical: true,
				Trades: []scheduler.ID{"framing"}, Places: []scheduler.ID{"north"}, Cautions: []scheduler.Caution{scheduler.CautionStructure, scheduler.CautionHeight},
				Drivers: []scheduler.Driver{{Kind: scheduler.ByFact, Text: "started Fri 15 May 2026, 07:30"}},
			},
			{ID: "windows.making", Kind: scheduler.StageStep, Title: "Windows: made", State: scheduler.Underway, Start: at(t, "4 07:30"), Finish: at(t, "25 00:00"), Rest: 1440, Elapsed: true, Slack: 2 * 1440},
			{
				ID: "seen", Kind: scheduler.HoldStep, Title: "Frame seen", State: scheduler.Waiting, Start: at(t, "22 09:00"), Finish: at(t, "22 09:00"), Slack: -480, Places: []scheduler.ID{"north"},
				Needs:   []scheduler.Need{{Step: "frame", Text: "“Frame and brace” is done"}, {Step: "frame", Text: "“Frame and brace” is done"}, {Step: "dig", Text: "“Dig” is done", Met: true}},
				Drivers: []scheduler.Driver{{Kind: scheduler.ByBooked, Text: "the visit is booked for Fri 22 May 2026, 09:00"}},
			},
			{
				ID: "set", Title: "Set the window", State: scheduler.Waiting, Start: at(t, "26 07:30"), Finish: at(t, "26 11:00"), Slack: 725, Trades: []scheduler.ID{"setters"}, Places: []scheduler.ID{"opening"},
				Needs:   []scheduler.Need{{Text: "a"}, {Text: "b"}, {Text: "c"}},
				Drivers: []scheduler.Driver{{Text: "one more reason", Step: "frame"}, {Kind: scheduler.ByWait, Step: "seen", Text: "the finish of “Frame seen” is on Fri 22 May 2026, 09:00"}},
			},
			{ID: "clad", Title: "Cladding", State: scheduler.Waiting, Start: at(t, "29 07:30"), Finish: at(t, "29 16:00"), Trades: []scheduler.ID{"framing"}, Places: []scheduler.ID{"north"}, OutOfOrder: true},
		},
		Holds: []scheduler.PlannedHold{
			{ID: "seen", Title: "Frame seen", Kind: scheduler.Inspection, By: "kim", State: scheduler.Waiting, Planned: at(t, "22 09:00"), NeedBy: at(t, "21 16:00"), LatestBy: at(t, "25 16:00"), Margin: -90, TellBy: &told, Booked: &booked, Holds: []scheduler.ID{"set"}},
			{ID: "width", Title: "Width measured", Kind: scheduler.Measure, Witness: true, By: "bo", State: scheduler.Refused, Planned: at(t, "18 07:30"), NeedBy: at(t, "26 07:30"), LatestBy: at(t, "29 00:00"), Margin: 0, TellBy: &told},
		},
		Orders: []scheduler.PlannedOrder{
			{ID: "windows", Title: "Windows", Supplier: "setters", State: scheduler.Underway, Delivery: at(t, "25 08:00"), NeedBy: at(t, "26 07:30"), Margin: 450, FirstUse: "set", StandIn: "Sheeting", Stages: []scheduler.ID{"windows.making"}},
			{ID: "boards", Title: "Boards", Supplier: "bo", State: scheduler.Ready, OrderBy: at(t, "18 16:00"), LatestOrder: at(t, "20 16:00"), Delivery: at(t, "29 08:00"), NeedBy: at(t, "28 07:30"), Margin: -510, FirstUse: "clad"},
		},
		Windows: []scheduler.Window{
			{ID: "w1", Trade: "setters", Place: "opening", Steps: []scheduler.ID{"set"}, Earliest: at(t, "25 07:30"), From: at(t, "26 07:30"), Until: at(t, "26 11:00"), OutForOthers: at(t, "28 00:00"), OutForDue: at(t, "29 00:00"), TellBy: told, Before: []scheduler.ID{"framing"}, After: []scheduler.ID{"framing"}},
			{ID: "w2", Trade: "framing", Place: "north", Steps: []scheduler.ID{"clad"}, Earliest: at(t, "28 07:30"), From: at(t, "28 07:30"), Until: at(t, "30 00:00"), OutForOthers: at(t, "30 00:00"), OutForDue: at(t, "30 00:00"), TellBy: told},
		},
		Dues: []scheduler.PlannedDue{
			{ID: "in", Title: "Closed in", Step: "set", By: at(t, "29 00:00"), Planned: at(t, "26 11:00"), Margin: 1200},
			{ID: "over", Title: "Handed over", Step: "clad", By: at(t, "29 00:00"), Planned: at(t, "29 16:00"), Margin: -480, Missed: true},
		},
		Driving: []scheduler.ID{"frame", "seen", "set"},
		Contradictions: []scheduler.Contradiction{
			{Dropped: 1, Statements: []scheduler.Statement{{Text: "the frame comes before the window", Line: 12, Column: 3}, {Text: "the window is pinned to Mon 11 May", Line: 40, Column: 3}}},
			{Dropped: -1, Statements: []scheduler.Statement{{Text: "cladding is due Thu 28 May"}}},
		},
		Alerts: []scheduler.Alert{
			{Key: "a", Kind: scheduler.LooseEnd, Severity: scheduler.Note, Steps: []scheduler.ID{"clad"}, Sentence: "Nothing follows it."},
			{Key: "b", Kind: scheduler.CoveredUnseen, Severity: scheduler.Grave, Places: []scheduler.ID{"opening"}, Sentence: "It was covered.", Remedy: "Stop there."},
			{Key: "c", Kind: scheduler.LateOrder, Severity: scheduler.Act, Trades: []scheduler.ID{"setters"}, Sentence: "It is late.", Remedy: "Ring the firm."},
			{Key: "d", Kind: scheduler.LooseEnd, Severity: scheduler.Act, Sentence: "Hidden.", Aside: "by design"},
		},
	}
	return job, plan
}

func printed(t *testing.T, width int, view printout.View) string {
	t.Helper()
	job, plan := shed(t)
	var b strings.Builder
	if err := printout.Plan(terminal.New(&b, width, false), job, plan, view); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (renew with -update after a look):\n%s", name, diff)
	}
}

func TestPlan(t *testing.T) {
	golden(t, "plan.txt", printed(t, 100, printout.View{Weeks: 2}))
	golden(t, "plan-wide.txt", printed(t, 180, printout.View{Weeks: 2}))
	golden(t, "plan-narrow.txt", printed(t, 40, printout.View{Weeks: 2}))
}

func TestOnlyWhatConcernsATrade(t *testing.T) {
	got := printed(t, 100, printout.View{Weeks: 2, Trade: "setters"})
	for _, want := range []string{"only what concerns Window setters", "Set the window", "Windows: made", "It is late.", "Frame seen", "Closed in"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing", want)
		}
	}
	for _, other := range []string{"Cladding", "Nothing follows it.", "It was covered.", "Boards", "Handed over", "What holds the finish", "Width measured"} {
		if strings.Contains(got, other) {
			t.Errorf("%q is no business of theirs", other)
		}
	}
}

func TestOnlyWhatLiesInAPlace(t *testing.T) {
	got := printed(t, 100, printout.View{Weeks: 2, Place: "house"})
	for _, want := range []string{"only what lies in House", "Set the window", "Cladding", "It was covered."} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if got := printed(t, 100, printout.View{Weeks: 2, Place: "garden"}); strings.Contains(got, "Set the window") || !strings.Contains(got, "Nothing is planned.") {
		t.Errorf("in the garden nothing is left to do:\n%s", got)
	}
}

func TestTheLookAheadEndsWithItsLastSunday(t *testing.T) {
	one, two := printed(t, 100, printout.View{Weeks: 1}), printed(t, 100, printout.View{Weeks: 2})
	if strings.Contains(one, "Week of Mon 25 May") || !strings.Contains(two, "Week of Mon 25 May") {
		t.Error("the second week belongs to two weeks alone")
	}
	if !strings.Contains(one, "until Sun 24 May (1 week)") || !strings.Contains(one, "2 windows later on") {
		t.Errorf("what is left out is not said:\n%s", one)
	}
}

func TestEveryPrintoutCarriesTheCaution(t *testing.T) {
	for _, view := range []printout.View{{Weeks: 1}, {Weeks: 1, Trade: "setters"}, {Weeks: 1, Place: "garden"}} {
		got := strings.Join(strings.Fields(printed(t, 60, view)), " ")
		if !strings.HasSuffix(got, printout.Caution) {
			t.Errorf("%v ends without the caution", view)
		}
	}
	if got := printed(t, 100, printout.View{Weeks: 1}); !strings.Contains(got, "[caution: structure,") {
		t.Error("the step's own caution is not shown")
	}
}

func TestWhy(t *testing.T) {
	job, plan := shed(t)
	chain, err := why.Chain(plan, "set")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := printout.Why(terminal.New(&b, 80, false), job, plan, chain); err != nil {
		t.Fatal(err)
	}
	golden(t, "why.txt", b.String())
}

func TestChecks(t *testing.T) {
	_, plan := shed(t)
	items := make([]selfcheck.Item, 7)
	for k := range items {
		items[k].Text = "item " + string(rune('1'+k))
	}
	var b strings.Builder
	err := printout.Checks(terminal.New(&b, 80, false), plan, []selfcheck.Check{
		{Name: "waits", Formula: "waits ÷ steps", Figure: "3", Limit: "none", Result: selfcheck.Info, Source: "common practice, no source"},
		{Name: "negative float", Formula: "steps with float below none", Figure: "0", Limit: "0", Result: selfcheck.Pass, Source: "a source", Items: items},
		{Name: "loose ends", Formula: "ends", Figure: "7", Limit: "0", Result: selfcheck.Fail, Source: "a source", Items: items},
	})
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "checks.txt", b.String())
}

// Whatever the job, no line is wider than the paper, and nothing breaks down.
func TestRealPlansFitThePaper(t *testing.T) {
	for seed := range uint64(12) {
		job := randomjob.New(seed, randomjob.Size{Steps: 60, Tight: 30})
		plan, err := planner.Plan(t.Context(), job, planner.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, width := range []int{40, 72, 100, 150, 200} {
			var b strings.Builder
			if err := printout.Plan(terminal.New(&b, width, false), job, plan, printout.View{Weeks: 100}); err != nil {
				t.Fatal(err)
			}
			for line := range strings.SplitSeq(b.String(), "\n") {
				if terminal.Width(line) > width {
					t.Fatalf("seed %d, %d columns: %q", seed, width, line)
				}
			}
			for k := range plan.Steps {
				if s := &plan.Steps[k]; width == 200 && s.State != scheduler.Complete && !strings.Contains(b.String(), string(s.ID)) {
					t.Errorf("seed %d: %s is nowhere", seed, s.ID)
				}
			}
		}
	}
}

type full struct{}

var errFull = errors.New("the disk is full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestTheErrorOfWritingComesBack(t *testing.T) {
	job, plan := shed(t)
	paper := terminal.New(full{}, 80, false)
	if err := printout.Plan(paper, job, plan, printout.View{Weeks: 1}); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
	if err := printout.Why(paper, job, plan, nil); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
	if err := printout.Checks(paper, plan, nil); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
}
