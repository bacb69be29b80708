package expand_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/worktime"
)

type ids = []scheduler.ID

func days(n int32) worktime.Span { return worktime.Span{Amount: n, Unit: worktime.Days} }

func start(id scheduler.ID) scheduler.Point { return scheduler.Point{Step: id} }

func finish(id scheduler.ID) scheduler.Point {
	return scheduler.Point{Step: id, End: scheduler.Finish}
}

func after(to, from scheduler.ID) scheduler.Wait {
	return scheduler.Wait{From: finish(from), To: start(to), Reason: scheduler.Access, Pos: scheduler.Pos{Line: 7, Column: 3}}
}

func task(id scheduler.ID, title string, places ...scheduler.ID) scheduler.Task {
	return scheduler.Task{ID: id, Title: title, Work: scheduler.Work{Places: places, Takes: days(1)}}
}

func hold(id scheduler.ID, title string, kind scheduler.HoldKind) scheduler.Hold {
	return scheduler.Hold{ID: id, Title: title, Kind: kind, By: "kim"}
}

// cottage is an invented job with one of everything that expands.
func cottage() *scheduler.Job {
	exposed := worktime.Span{Amount: 90, Unit: worktime.ElapsedDays}
	return &scheduler.Job{
		Trades: []scheduler.Trade{{ID: "framing"}},
		People: []scheduler.Person{{ID: "kim"}},
		Places: []scheduler.Place{
			{ID: "north", Title: "North wall"},
			{ID: "n1", Title: "Opening N1", Within: "north"},
			{ID: "n2", Title: "Opening N2", Within: "north"},
			{ID: "n3", Title: "Opening N3", Within: "north"},
		},
		Tasks: []scheduler.Task{
			task("frame", "Frame", "north"), task("tape", "Tape joints", "north"), task("clad", "Cladding", "north"),
		},
		Holds: []scheduler.Hold{hold("frame-seen", "Frame seen", scheduler.Inspection)},
		Orders: []scheduler.Order{{
			ID: "windows", Title: "Windows", Receives: "framing", Places: ids{"north"}, Unload: days(1),
			Cautions: []scheduler.Caution{scheduler.CautionLifting}, Pos: scheduler.Pos{Line: 30},
			Stages: []scheduler.Stage{
				{ID: "making", Title: "Made", Takes: days(20), By: "framing", Pos: scheduler.Pos{Line: 31}},
				{ID: "carriage", Title: "Carriage", Takes: days(2), Pos: scheduler.Pos{Line: 32}},
			},
		}},
		Typicals: []scheduler.Typical{
			{
				ID: "openings", Title: "One opening", Places: ids{"n1", "n2"},
				Tasks: []scheduler.Task{task("pan", "Sill pan"), task("set", "Set the window", "north")},
				Holds: []scheduler.Hold{hold("ready", "Signed off", scheduler.Approval)},
				Waits: []scheduler.Wait{after("set", "pan"), after("set", "windows.delivery"), after("pan", "frame")},
			},
			{
				ID: "linings", Title: "One lining", Places: ids{"n2", "n3"},
				Tasks: []scheduler.Task{task("board", "Board")},
				Waits: []scheduler.Wait{after("board", "openings.set")},
			},
		},
		BuildUps: []scheduler.BuildUp{{
			ID: "skin", Title: "Wall skin", Places: ids{"north"},
			Layers: []scheduler.Layer{
				{ID: "sheathing", Title: "Sheathing", By: "frame", Seen: ids{"frame-seen"}, Pos: scheduler.Pos{Line: 50}},
				{ID: "brace", Title: "Bracing", By: "frame", Pos: scheduler.Pos{Line: 51}},
				{ID: "tape", Title: "Taped joints", By: "tape", Cure: days(1), Exposed: &exposed, Source: "invented", Pos: scheduler.Pos{Line: 52}},
				{ID: "boards", Title: "Cladding boards", By: "clad", Pos: scheduler.Pos{Line: 53}},
			},
		}},
		Waits: []scheduler.Wait{after("tape", "frame"), after("clad", "openings.set")},
	}
}

func mustExpand(t *testing.T, job *scheduler.Job) *scheduler.Network {
	t.Helper()
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	return net
}

// lines writes each wait as "finish of a > start of b", for comparing.
func lines(net *scheduler.Network, keep func(scheduler.Wait) bool) []string {
	var out []string
	for _, w := range net.Waits {
		if keep(w) {
			out = append(out, w.From.String()+" > "+w.To.String())
		}
	}
	return out
}

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("%s (-want +got):\n%s", what, d)
	}
}

func TestStepsComeInFileOrderWithPlacesAndTitles(t *testing.T) {
	net := mustExpand(t, cottage())
	var names ids
	for k, s := range net.Steps {
		names = append(names, s.ID)
		if at, ok := net.Find(s.ID); !ok || at != k {
			t.Errorf("Find(%s) = %d, %t, want %d", s.ID, at, ok, k)
		}
		if s.Crews != 1 {
			t.Errorf("%s takes %d crews, want 1", s.ID, s.Crews)
		}
	}
	same(t, "steps", names, ids{
		"frame", "tape", "clad", "frame-seen", "windows.making", "windows.carriage", "windows.delivery",
		"n1.pan", "n1.set", "n1.ready", "n2.pan", "n2.set", "n2.ready", "n2.board", "n3.board",
	})
	at := func(id scheduler.ID) scheduler.Step { k, _ := net.Find(id); return net.Steps[k] }
	same(t, "places of n2.pan", at("n2.pan").Places, ids{"n2"})
	same(t, "places of n2.set, which has its own", at("n2.set").Places, ids{"north"})
	same(t, "title", at("n2.pan").Title, "Sill pan at Opening N2")
	same(t, "typical", []scheduler.ID{at("n2.pan").Typical, at("n2.pan").Local}, ids{"openings", "pan"})
	d := at("windows.delivery")
	same(t, "delivery", d, scheduler.Step{
		ID: "windows.delivery", Kind: scheduler.HoldStep, HoldKind: scheduler.Delivery, Title: "Windows delivered",
		By: "framing", Order: "windows", Pos: scheduler.Pos{Line: 30},
		Work: scheduler.Work{Trades: ids{"framing"}, Crews: 1, Places: ids{"north"}, Takes: days(1), Cautions: []scheduler.Caution{scheduler.CautionLifting}},
	})
	same(t, "stage", at("windows.making").Title, "Windows: Made")
}

func TestAPersonWhoReceivesTakesNoCrew(t *testing.T) {
	job := cottage()
	job.Orders[0].Receives = "kim"
	net := mustExpand(t, job)
	k, _ := net.Find("windows.delivery")
	same(t, "trades", net.Steps[k].Trades, ids(nil))
	same(t, "by", net.Steps[k].By, scheduler.ID("kim"))
}

func TestNamesMeanOneStepOrEveryInstance(t *testing.T) {
	net := mustExpand(t, cottage())
	written := func(w scheduler.Wait) bool { return w.Reason == scheduler.Access }
	same(t, "waits", lines(net, written), []string{
		"finish of frame > start of tape",
		"finish of n1.set > start of clad", "finish of n2.set > start of clad",
		"finish of n1.pan > start of n1.set", "finish of windows.delivery > start of n1.set", "finish of frame > start of n1.pan",
		"finish of n2.pan > start of n2.set", "finish of windows.delivery > start of n2.set", "finish of frame > start of n2.pan",
		// A lining has an opening of its own at n2 and none at n3.
		"finish of n2.set > start of n2.board",
		"finish of n1.set > start of n3.board", "finish of n2.set > start of n3.board",
	})
	same(t, "origin as written", net.Waits[0].Origin, "")
	same(t, "origin of every instance", net.Waits[1].Origin, "every Set the window of One opening")
	same(t, "origin in a typical", net.Waits[3].Origin, "One opening at Opening N1")
	same(t, "position", net.Waits[3].Pos, scheduler.Pos{Line: 7, Column: 3})
}

func TestLocalNamesComeFirst(t *testing.T) {
	job := cottage()
	job.Tasks = append(job.Tasks, task("pan", "Oil pan"))
	net := mustExpand(t, job)
	for _, w := range net.Waits {
		if w.To.Step == "n1.set" && w.From.Step == "pan" {
			t.Error("within the typical, pan means the task outside it")
		}
	}
	job.Waits = append(job.Waits, after("clad", "pan"), after("clad", "n1.pan"))
	net = mustExpand(t, job)
	same(t, "outside, pan is the task", net.Waits[3].From.Step, scheduler.ID("pan"))
	same(t, "one instance", net.Waits[4].From.Step, scheduler.ID("n1.pan"))
}

func TestOrdersAreChains(t *testing.T) {
	net := mustExpand(t, cottage())
	same(t, "chain", lines(net, func(w scheduler.Wait) bool { return w.Origin == "order Windows" }), []string{
		"finish of windows.making > start of windows.carriage",
		"finish of windows.carriage > start of windows.delivery",
	})
}

func TestLayersGiveWaitsAndCovers(t *testing.T) {
	job := cottage()
	net := mustExpand(t, job)
	var got []scheduler.Wait
	for _, w := range net.Waits {
		if strings.HasPrefix(w.Origin, "layers of ") {
			got = append(got, w)
		}
	}
	const at = "layers of Wall skin at North wall: "
	exposed := job.BuildUps[0].Layers[2].Exposed
	want := []scheduler.Wait{
		{From: finish("frame"), To: start("tape"), Reason: scheduler.Buried, Origin: at + "Bracing before Taped joints", Pos: scheduler.Pos{Line: 51}},
		{From: finish("tape"), To: start("clad"), Least: days(1), Reason: scheduler.Cure, Source: "invented", Origin: at + "Taped joints before Cladding boards", Pos: scheduler.Pos{Line: 52}},
		{From: start("tape"), To: finish("clad"), Most: exposed, Reason: scheduler.Exposure, Source: "invented", Origin: at + "Taped joints open no longer than 90 elapsed days, until Cladding boards is on", Pos: scheduler.Pos{Line: 52}},
	}
	// The sheathing and its bracing are put on by one step: nothing lies between.
	same(t, "waits", got, want)
	same(t, "covers", net.Covers, []scheduler.Cover{
		{BuildUp: "skin", Place: "north", Layer: "brace", LayerName: "Bracing", Step: "frame", CoveredBy: "tape", Pos: scheduler.Pos{Line: 51}},
		{BuildUp: "skin", Place: "north", Layer: "tape", LayerName: "Taped joints", Step: "tape", CoveredBy: "clad", Exposed: exposed, Source: "invented", Pos: scheduler.Pos{Line: 52}},
	})
}

func TestALayerIsSeenBeforeItIsCovered(t *testing.T) {
	job := cottage()
	job.BuildUps[0].Layers[1].Seen = ids{"frame-seen", "openings.ready"}
	net := mustExpand(t, job)
	same(t, "waits", lines(net, func(w scheduler.Wait) bool { return strings.Contains(w.Origin, " seen (") }), []string{
		"finish of frame-seen > start of tape",
		"finish of n1.ready > start of tape", "finish of n2.ready > start of tape",
	})
	same(t, "seen", net.Covers[0].Seen, ids{"frame-seen", "n1.ready", "n2.ready"})
}

func TestLayersOfATypicalAreLaidPlaceByPlace(t *testing.T) {
	job := cottage()
	job.BuildUps = []scheduler.BuildUp{{ID: "sill", Title: "Sill", Places: ids{"n1", "n2"}, Layers: []scheduler.Layer{
		{ID: "pan", By: "openings.pan", Seen: ids{"openings.ready"}}, {ID: "unit", By: "openings.set"},
	}}}
	net := mustExpand(t, job)
	same(t, "waits", lines(net, func(w scheduler.Wait) bool { return strings.HasPrefix(w.Origin, "layers") }), []string{
		"finish of n1.pan > start of n1.set", "finish of n1.ready > start of n1.set",
		"finish of n2.pan > start of n2.set", "finish of n2.ready > start of n2.set",
	})
	same(t, "names stand in for missing titles", net.Waits[len(net.Waits)-1].Origin, "layers of Sill at Opening N2: pan seen (Signed off at Opening N2) before unit")
}

func TestWaiversLiftWaitsAndEveryInstance(t *testing.T) {
	job := cottage()
	job.Waivers = []scheduler.Waiver{
		{From: finish("frame"), To: start("tape"), Reason: "braced"},
		{From: finish("openings.pan"), To: start("openings.set"), Reason: "metal pans"},
		{From: finish("n1.set"), To: start("clad"), Reason: "later"},
	}
	net := mustExpand(t, job)
	var got []string
	for k, w := range net.Waits {
		wv, ok := expand.WaiverOf(net, k)
		if ok != net.Waived[k] {
			t.Errorf("WaiverOf and Waived differ on %s > %s", w.From, w.To)
		}
		if net.Waived[k] {
			got = append(got, w.From.String()+" > "+w.To.String()+": "+wv.Reason)
		}
	}
	same(t, "waived", got, []string{
		"finish of frame > start of tape: braced",
		"finish of n1.set > start of clad: later",
		"finish of n1.pan > start of n1.set: metal pans",
		"finish of n2.pan > start of n2.set: metal pans",
		"finish of frame > start of tape: braced", // the wait of the layers between the same points
	})
}

func TestOccupationsAreResolved(t *testing.T) {
	job := cottage()
	job.Occupations = []scheduler.Occupation{{ID: "staging", Place: "north", From: "tape", To: "n1.set", Alone: true, Admits: ids{"openings.pan", "clad"}}}
	net := mustExpand(t, job)
	same(t, "occupations", net.Occupations, []scheduler.Occupation{
		{ID: "staging", Place: "north", From: "tape", To: "n1.set", Alone: true, Admits: ids{"n1.pan", "n2.pan", "clad"}},
	})
}

func TestFaultsAreAllFoundAtOnce(t *testing.T) {
	cases := []struct {
		name  string
		spoil func(*scheduler.Job)
		want  string
	}{
		{"wait from nothing", func(j *scheduler.Job) { j.Waits = append(j.Waits, after("clad", "roof")) }, `no step is called "roof"`},
		{"wait to nothing", func(j *scheduler.Job) { j.Waits = append(j.Waits, after("roof", "clad")) }, `no step is called "roof"`},
		{"typical's wait", func(j *scheduler.Job) {
			j.Typicals[0].Waits = append(j.Typicals[0].Waits, after("set", "roof"))
		}, `no step is called "roof"`},
		{"two of a name", func(j *scheduler.Job) { j.Tasks = append(j.Tasks, task("frame", "")) }, `two steps are called "frame"`},
		{"layer of no step", func(j *scheduler.Job) { j.BuildUps[0].Layers[3].By = "roof" }, `no step is called "roof"`},
		{"layer of many steps", func(j *scheduler.Job) { j.BuildUps[0].Layers[3].By = "openings.set" }, `"openings.set" names 2 steps`},
		{"seen by nothing", func(j *scheduler.Job) { j.BuildUps[0].Layers[1].Seen = ids{"roof"} }, `no step is called "roof"`},
		{"occupation from many", func(j *scheduler.Job) {
			j.Occupations = []scheduler.Occupation{{From: "openings.set", To: "clad"}}
		}, `"openings.set" names 2 steps`},
		{"occupation to nothing", func(j *scheduler.Job) {
			j.Occupations = []scheduler.Occupation{{From: "clad", To: "roof"}}
		}, `no step is called "roof"`},
		{"occupation admits nothing", func(j *scheduler.Job) {
			j.Occupations = []scheduler.Occupation{{From: "clad", To: "clad", Admits: ids{"roof"}}}
		}, `no step is called "roof"`},
		{"due of nothing", func(j *scheduler.Job) { j.Dues = []scheduler.Due{{Step: "roof"}} }, `no step is called "roof"`},
		{"due of many", func(j *scheduler.Job) { j.Dues = []scheduler.Due{{Step: "openings.set"}} }, `"openings.set" names 2 steps`},
		{"fact of nothing", func(j *scheduler.Job) { j.Facts = []scheduler.Fact{{Step: "roof"}} }, `no step is called "roof"`},
		{"pin of nothing", func(j *scheduler.Job) { j.Pins = []scheduler.Pin{{Step: "roof"}} }, `no step is called "roof"`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			job := cottage()
			c.spoil(job)
			net, err := expand.Expand(job)
			var faults scheduler.Faults
			if !errors.As(err, &faults) || net != nil {
				t.Fatalf("got %v, %v, want faults alone", net, err)
			}
			if len(faults) != 1 || !strings.HasPrefix(faults[0].What, c.want) || faults[0].Mend == "" {
				t.Errorf("got %v, want one fault %q with its mend", faults, c.want)
			}
		})
	}
	job := cottage()
	for _, c := range cases {
		c.spoil(job)
	}
	if _, err := expand.Expand(job); strings.Count(err.Error(), "\n") < 5 {
		t.Errorf("not all at once: %v", err)
	}
}
