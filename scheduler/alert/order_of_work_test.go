package alert_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/rules"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

// These tests hold the tool against orders of work that were published: each job
// file states one as build-ups and hold points; recorded in order it gives no alert
// of work gone wrong, and each way of breaking it gives the alert named.

// recordedAs is a job with its steps recorded one a working day from Mon 2 March
// 2026, tasks from 08:00 to 16:00 and releases at 10:00, as of the day after.
func recordedAs(t *testing.T, file string, order ...scheduler.ID) *scheduler.Job {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", file))
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read(file, data)
	if err != nil {
		t.Fatal(err)
	}
	d := day("2026-03-02")
	clock := func(s string) *worktime.When { return when(d.String() + " " + s) }
	for _, id := range order {
		f := scheduler.Fact{Step: id, By: "lead"}
		if isHold(id) {
			f.Released = clock("10:00")
		} else {
			f.Started, f.Done = clock("08:00"), clock("16:00")
		}
		job.Facts = append(job.Facts, f)
		if d++; d.Weekday() == 6 {
			d += 2
		}
	}
	job.AsOf = &d
	return job
}

func isHold(id scheduler.ID) bool {
	return id == "final" || strings.HasSuffix(string(id), "-seen") || strings.HasSuffix(string(id), "-test")
}

// wrong is the alerts of recorded work gone wrong that a job gives when planned.
func wrong(t *testing.T, job *scheduler.Job) []scheduler.Alert {
	t.Helper()
	if faults := rules.Check(job); len(faults) > 0 {
		t.Fatal(faults)
	}
	plan, err := planner.Plan(t.Context(), job, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verify.Plan(job, plan) {
		t.Error(v)
	}
	return slices.DeleteFunc(plan.Alerts, func(a scheduler.Alert) bool {
		switch a.Kind {
		case scheduler.CoveredUnseen:
			return a.Severity != scheduler.Grave // about to be covered is no wrong yet
		case scheduler.OutOfOrder, scheduler.TooSoon:
			return false
		}
		return true
	})
}

type orderCase struct {
	name  string
	order string // the steps recorded, in that order
	want  string // the alerts' keys
	says  string // in the first one's sentence
}

func testOrder(t *testing.T, file string, cases []orderCase) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var order ids
			for id := range strings.FieldsSeq(c.order) {
				order = append(order, scheduler.ID(id))
			}
			found := wrong(t, recordedAs(t, file, order...))
			var keys []string
			for _, a := range found {
				keys = append(keys, a.Key)
			}
			if got := strings.Join(keys, "; "); got != c.want {
				t.Fatalf("got %q, want %q", got, c.want)
			}
			if c.says != "" && !strings.Contains(found[0].Sentence, c.says) {
				t.Errorf("%q does not say %q", found[0].Sentence, c.says)
			}
		})
	}
}

// TestOrderOfInspections: International Residential Code, section R109.1 (a model of
// the United States; the local authority decides): R109.1.1 foundation before
// concrete; R109.1.2 rough plumbing, mechanical, gas and electrical before cover,
// before fixtures and before the framing inspection; R109.1.4 frame and masonry after
// the rough inspections are approved; R109.1.5.1 fire-rated board before its joints
// are taped; R109.1.6 final. That insulation is seen before board is added by many
// towns (list of the building department of Port Chester, New York).
func TestOrderOfInspections(t *testing.T) {
	const toPour = "forms foundation-seen pour "
	const toRough = toPour + "frame rough "
	const toInsulation = toRough + "rough-seen frame-seen insulate "
	const toBoard = toInsulation + "insulation-seen board "
	testOrder(t, "inspections.job.yaml", []orderCase{
		{"all in order", toBoard + "board-seen joint fixtures final", "", ""},
		{
			"concrete before the foundation is seen (R109.1.1)", "forms pour",
			"covered before release: foundation-seen, pour", "over Forms and steel at Footing",
		},
		{
			"foundation seen after the concrete (R109.1.1)", "forms pour foundation-seen",
			"covered before release: foundation-seen, pour", "released only on Wed 4 Mar",
		},
		{
			"foundation seen before the steel is in (R109.1.1)", "foundation-seen forms",
			"out of order: forms, foundation-seen", "“Foundation seen” was released on Mon 2 Mar",
		},
		{
			"frame seen before the rough services are (R109.1.4)", toRough + "frame-seen",
			"out of order: rough-seen, frame-seen", "“Rough services seen”, which should have come first, is not released",
		},
		{
			"insulation before the rough services and the frame are seen (R109.1.2, R109.1.4)", toRough + "insulate",
			"covered before release: frame-seen, insulate; covered before release: rough-seen, insulate", "Frame and services at Inside",
		},
		{
			"insulation before the frame is seen (R109.1.4)", toRough + "rough-seen insulate",
			"covered before release: frame-seen, insulate", "",
		},
		{
			"board before the insulation is seen", toInsulation + "board",
			"covered before release: insulation-seen, board", "over Insulation at Inside",
		},
		{
			"joints before the fire-rated board is seen (R109.1.5.1)", toBoard + "joint",
			"covered before release: board-seen, joint", "over Fire-rated board at Inside",
		},
		{
			"fixtures before the rough services are seen (R109.1.2)", toRough + "fixtures",
			"out of order: joint, fixtures; out of order: rough-seen, fixtures", "",
		},
		{
			"final before the fixtures are in (R109.1.6)", toBoard + "board-seen joint final",
			"out of order: fixtures, final", "",
		},
	})
}

// TestOrderOfOpenings: US Department of Energy, Building Science Education, "Build
// sill pan": pan at the sill, then the window, side flashing over the pan, head
// flashing over the side, and the membrane lapped over it. The cure of 24 h before
// the window is common practice, no source.
func TestOrderOfOpenings(t *testing.T) {
	const one = "opening-1.pan opening-1.pan-seen opening-1.set "
	const two = "opening-2.pan opening-2.pan-seen opening-2.set "
	testOrder(t, "openings.job.yaml", []orderCase{
		{"all in order", one + "opening-1.sides opening-1.head opening-1.lap " + two, "", ""},
		{
			"unit before the pan", two + "opening-1.set",
			"covered before release: opening-1.pan-seen, opening-1.set; out of order: opening-1.pan, opening-1.set, grave", "at Opening 1",
		},
		{
			"unit before the pan is seen", "opening-1.pan opening-2.pan opening-1.set",
			"covered before release: opening-1.pan-seen, opening-1.set", "over Sill pan at Opening 1",
		},
		{
			"pan after the unit", "opening-1.set opening-1.pan",
			"covered before release: opening-1.pan-seen, opening-1.set; out of order: opening-1.pan, opening-1.set, grave", "",
		},
		{
			"flashing before the unit", "opening-1.pan opening-1.pan-seen opening-1.sides",
			"out of order: opening-1.set, opening-1.sides, grave", "which is now buried with Window at Opening 1",
		},
		{
			"head before the sides", one + "opening-1.head",
			"out of order: opening-1.sides, opening-1.head, grave", "buried with Side flashing",
		},
		{
			"membrane before the head flashing", one + "opening-1.sides opening-1.lap",
			"out of order: opening-1.head, opening-1.lap, grave", "buried with Head flashing",
		},
	})
	t.Run("unit before the pan has cured", func(t *testing.T) {
		job := recordedAs(t, "openings.job.yaml", "opening-1.pan", "opening-1.set")
		job.Facts = append(job.Facts, scheduler.Fact{Step: "opening-1.pan-seen", Released: when("2026-03-02 16:15"), By: "lead"})
		found := wrong(t, job)
		if len(found) != 1 || found[0].Key != "too soon: opening-1.pan, opening-1.set, grave" {
			t.Errorf("got %+v", found)
		}
	})
}

// TestOrderOfLeakageTest: the first air-leakage test comes after the sheathing is
// taped and the windows are set, and before insulation and board, while leaks can be
// reached. Some towns of British Columbia require it before the insulation
// inspection, by an energy adviser's page and a trade page.
func TestOrderOfLeakageTest(t *testing.T) {
	testOrder(t, "leakage.job.yaml", []orderCase{
		{"all in order", "tape windows leak-test insulate board", "", ""},
		{
			"insulation before the test", "tape windows insulate",
			"covered before release: leak-test, insulate", "over Taped sheathing at Shell",
		},
		{
			"test after the insulation", "tape windows insulate leak-test",
			"covered before release: leak-test, insulate", "released only on",
		},
		{
			"test before the windows", "tape leak-test",
			"out of order: windows, leak-test", "should have come first, is not begun",
		},
		{
			"board before the insulation", "tape windows leak-test board",
			"out of order: insulate, board, grave", "buried with Insulation at Shell",
		},
	})
}

// TestUnbrokenOrderIsPlannedInOrder: with nothing recorded, each plan keeps the order.
func TestUnbrokenOrderIsPlannedInOrder(t *testing.T) {
	for file, order := range map[string]string{
		"inspections.job.yaml": "forms foundation-seen pour frame rough rough-seen frame-seen insulate insulation-seen board board-seen joint fixtures final",
		"openings.job.yaml":    "opening-1.pan opening-1.pan-seen opening-1.set opening-1.sides opening-1.head opening-1.lap",
		"leakage.job.yaml":     "tape windows leak-test insulate board",
	} {
		job := recordedAs(t, file)
		plan, err := planner.Plan(t.Context(), job, planner.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range verify.Plan(job, plan) {
			t.Error(file, v)
		}
		steps := strings.Fields(order)
		for k, id := range steps[1:] {
			a, b := plan.FindStep(scheduler.ID(steps[k])), plan.FindStep(scheduler.ID(id))
			if b.Start.Before(a.Finish) {
				t.Errorf("%s: %s starts at %s, before %s has finished at %s", file, id, b.Start, steps[k], a.Finish)
			}
		}
	}
}
