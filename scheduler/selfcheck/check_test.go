package selfcheck_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/selfcheck"
	"gaugerod/scheduler/worktime"
)

type ids = []scheduler.ID

func days(n int32) worktime.Span { return worktime.Span{Amount: n, Unit: worktime.Days} }

func day(s string) worktime.Date {
	d, err := worktime.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return d
}

func when(s string) *worktime.When {
	w, err := worktime.ParseWhen(s)
	if err != nil {
		panic(err)
	}
	return &w
}

func start(id scheduler.ID) scheduler.Point { return scheduler.Point{Step: id} }

func finish(id scheduler.ID) scheduler.Point {
	return scheduler.Point{Step: id, End: scheduler.Finish}
}

func after(to, from scheduler.ID) scheduler.Wait {
	return scheduler.Wait{From: finish(from), To: start(to), Reason: scheduler.Sense}
}

func work(id scheduler.ID) scheduler.Task {
	return scheduler.Task{ID: id, Title: strings.ToUpper(string(id)), Work: scheduler.Work{
		Trades: ids{"gang"}, Crews: 1, Places: ids{"hut"}, Takes: days(2),
	}}
}

// hut is a chain of five tasks, a to e, on which every check passes.
func hut() *scheduler.Job {
	var week worktime.Week
	for d := time.Monday; d <= time.Friday; d++ {
		week[d] = []worktime.Period{{From: 8 * 60, To: 16 * 60}}
	}
	asOf := day("2026-05-18")
	job := &scheduler.Job{
		ID: "hut", Title: "Hut", Zone: "Europe/Vienna", Start: day("2026-05-18"), AsOf: &asOf, Week: week,
		People: []scheduler.Person{{ID: "kim", Name: "Kim Example", Role: scheduler.SiteLead}},
		Trades: []scheduler.Trade{{ID: "gang", Title: "Gang", Crews: 9}, {ID: "crew", Title: "Crew", Crews: 9}},
		Places: []scheduler.Place{{ID: "hut", Title: "Hut"}},
	}
	for _, id := range (ids{"a", "b", "c", "d", "e"}) {
		job.Tasks = append(job.Tasks, work(id))
		if n := len(job.Tasks); n > 1 {
			job.Waits = append(job.Waits, after(id, job.Tasks[n-2].ID))
		}
	}
	return job
}

func TestASoundJobPassesEveryCheck(t *testing.T) {
	for name, c := range run(t, hut(), replan) {
		// Of five steps the first and the last are 40 % of loose ends: the share is
		// meant for larger jobs and says so honestly.
		want := selfcheck.Pass
		if name == "share of loose ends" {
			want = selfcheck.Fail
		}
		if c.Result != want && c.Result != selfcheck.Info {
			t.Errorf("%s: %+v", name, c)
		}
		if c.Result == selfcheck.Info && len(c.Items) > 0 {
			t.Errorf("%s lists something: %+v", name, c.Items)
		}
	}
}

// TestEachCheckFindsItsFault breaks the sound job in one way a case.
func TestEachCheckFindsItsFault(t *testing.T) {
	hold := func(kind scheduler.HoldKind, by scheduler.ID, notice worktime.Span) scheduler.Hold {
		return scheduler.Hold{ID: "gate", Title: "Gate", Kind: kind, By: by, Notice: notice}
	}
	gated := func(j *scheduler.Job, h scheduler.Hold) {
		j.Holds = append(j.Holds, h)
		j.Waits = append(j.Waits, after("gate", "a"), after("e", "gate"))
	}
	cases := []struct {
		check  string
		spoil  func(*scheduler.Job)
		result selfcheck.Result
		figure string
		items  string // of the first item
	}{
		{"share of loose ends", func(j *scheduler.Job) { j.Tasks = append(j.Tasks, work("stray")) }, selfcheck.Fail, "3 of 6 (50.0 %)", "nothing after"},
		{"loose ends", func(j *scheduler.Job) { j.Tasks = append(j.Tasks, work("stray")) }, selfcheck.Fail, "2", "“STRAY” has nothing before"},
		{"steps that hang by one end", func(j *scheduler.Job) {
			j.Waits[3] = scheduler.Wait{From: start("d"), To: finish("e"), Reason: scheduler.Sense}
		}, selfcheck.Info, "2", "nothing waits for its finish"},
		{"joins of many chains", func(j *scheduler.Job) {
			j.Waits = append(j.Waits, after("e", "a"), after("e", "b"), after("e", "c"))
		}, selfcheck.Info, "1", "waits for 4 steps"},
		{"waits without a reason", func(j *scheduler.Job) { j.Waits[0].Reason = "" }, selfcheck.Fail, "1", "start of b after finish of a"},
		{"waits with a time", func(j *scheduler.Job) { j.Waits[0].Least = days(1) }, selfcheck.Info, "1 of 4 (25.0 %)", "1 day at least"},
		{"waits from a finish to a start", func(j *scheduler.Job) { j.Waits[0].From.End = scheduler.Start }, selfcheck.Info, "3 of 4 (75.0 %)", "start of a"},
		{"long waits", func(j *scheduler.Job) { j.Waits[0].Least = days(6) }, selfcheck.Info, "1", "6 days"},
		{"long waits", func(j *scheduler.Job) {
			j.Waits[0].Least = worktime.Span{Amount: 8, Unit: worktime.ElapsedDays}
		}, selfcheck.Info, "1", "8 elapsed days"},
		{"waivers that lift nothing", func(j *scheduler.Job) {
			j.Waivers = []scheduler.Waiver{{From: finish("a"), To: start("c")}, {From: finish("a"), To: start("b")}}
		}, selfcheck.Info, "1", "start of c after finish of a is waived"},
		{"long tasks", func(j *scheduler.Job) { j.Tasks[0].Takes = days(21) }, selfcheck.Fail, "1 of 5 (20.0 %)", "takes 21 working days"},
		{"tasks without a trade", func(j *scheduler.Job) { j.Tasks[0].Trades = nil }, selfcheck.Info, "1", "“A” is nobody's work"},
		{"negative float", func(j *scheduler.Job) {
			j.Dues = []scheduler.Due{{ID: "x", Step: "e", On: day("2026-05-28")}}
		}, selfcheck.Fail, "5", "has 1.0 working days too few"},
		{"high float", func(j *scheduler.Job) {
			j.Tasks = append(j.Tasks, work("side"))
			j.Waits = append(j.Waits, after("side", "a"), after("e", "side"))
			j.Tasks[2].Takes = days(60)
		}, selfcheck.Fail, "1 of 6 (16.7 %)", "“SIDE” has"},
		{"room on the longest path", func(j *scheduler.Job) {
			j.Dues = []scheduler.Due{{ID: "x", Step: "e", On: day("2026-05-28")}}
		}, selfcheck.Fail, "0.90", ""},
		{"pinned days", func(j *scheduler.Job) {
			on := day("2026-06-01")
			j.Pins = []scheduler.Pin{{Step: "e", On: &on}}
		}, selfcheck.Fail, "1 of 5 (20.0 %)", "pinned to 2026-06-01"},
		{"promises missed", func(j *scheduler.Job) {
			j.Facts = []scheduler.Fact{{Step: "a", Expected: when("2026-05-11")}}
		}, selfcheck.Fail, "1 of 1 (100.0 %)", "was expected for 2026-05-11"},
		{"contradictions", func(j *scheduler.Job) { j.Waits = append(j.Waits, after("a", "b")) }, selfcheck.Fail, "1", ""},
		{"hold points with no person or no notice", func(j *scheduler.Job) { gated(j, hold(scheduler.Decision, "", worktime.Span{})) }, selfcheck.Fail, "1", "has no person"},
		{"hold points with no person or no notice", func(j *scheduler.Job) { gated(j, hold(scheduler.Test, "kim", worktime.Span{})) }, selfcheck.Fail, "1", "has no notice"},
		{"work out of order", func(j *scheduler.Job) {
			earlier(j)
			j.Facts = []scheduler.Fact{{Step: "b", Started: when("2026-05-14"), Done: when("2026-05-15")}}
		}, selfcheck.Fail, "1", "should have come first"},
		{"covered before release", func(j *scheduler.Job) {
			gated(j, hold(scheduler.Inspection, "kim", days(1)))
			j.Waits[len(j.Waits)-1].Reason = scheduler.Buried
			earlier(j)
			j.Facts = []scheduler.Fact{{Step: "e", Started: when("2026-05-14")}}
		}, selfcheck.Fail, "1", "went on"},
		{"open too long", func(j *scheduler.Job) {
			most := worktime.Span{Amount: 3, Unit: worktime.ElapsedDays}
			j.Waits[0] = scheduler.Wait{From: start("a"), To: finish("b"), Most: &most, Reason: scheduler.Exposure}
			earlier(j)
			j.Facts = []scheduler.Fact{{Step: "a", Started: when("2026-05-11"), Done: when("2026-05-12")}}
		}, selfcheck.Fail, "1", "more than the 3 elapsed days"},
		{"open nearly too long", func(j *scheduler.Job) {
			most := worktime.Span{Amount: 4, Unit: worktime.ElapsedDays}
			j.Waits[0].Reason = scheduler.Access
			j.Waits = append(j.Waits, scheduler.Wait{From: start("a"), To: finish("b"), Most: &most, Reason: scheduler.Exposure})
		}, selfcheck.Info, "1", "The plan uses 83 %"},
		{"deliveries that sit", func(j *scheduler.Job) {
			gated(j, hold(scheduler.Delivery, "kim", worktime.Span{}))
			earlier(j)
			j.Facts = []scheduler.Fact{{Step: "gate", Released: when("2026-05-11")}}
		}, selfcheck.Info, "1", "sits for"},
		{"two trades in one place on one day", func(j *scheduler.Job) {
			other := work("side")
			other.Trades = ids{"crew"}
			j.Tasks = append(j.Tasks, other)
			j.Waits = append(j.Waits, after("side", "a"), after("e", "side"))
		}, selfcheck.Info, "1", "are both in"},
	}
	for _, c := range cases {
		t.Run(c.check, func(t *testing.T) {
			job := hut()
			c.spoil(job)
			got, ok := run(t, job, nil)[c.check]
			if !ok {
				t.Fatalf("no check is called %q", c.check)
			}
			if got.Result != c.result || got.Figure != c.figure {
				t.Errorf("got %s with %s, want %s with %s: %+v", got.Result, got.Figure, c.result, c.figure, got.Items)
			}
			if c.items != "" && !slices.ContainsFunc(got.Items, func(i selfcheck.Item) bool { return strings.Contains(i.Text, c.items) && len(i.Steps) > 0 }) {
				t.Errorf("items %+v, want one with %q", got.Items, c.items)
			}
		})
	}
}

// earlier starts the job two weeks before as of, so that facts can lie between.
func earlier(j *scheduler.Job) { j.Start = day("2026-05-04") }

// TestOrders: past their day, and near it with a decision open.
func TestOrders(t *testing.T) {
	job := hut()
	job.Orders = []scheduler.Order{{ID: "win", Title: "Windows", Stages: []scheduler.Stage{{ID: "making", Title: "Made", Takes: days(3)}}}}
	job.Holds = []scheduler.Hold{{ID: "sizes", Title: "Sizes", Kind: scheduler.Decision, By: "kim"}}
	job.Waits = append(job.Waits, after("win.making", "sizes"), after("e", "win.delivery"))
	checks := run(t, job, nil)
	if c := checks["orders soon, with a decision open"]; c.Figure != "1" || !strings.Contains(c.Items[0].Text, "waits for “Sizes”") {
		t.Errorf("soon: %+v", c)
	}
	if c := checks["orders past their day"]; c.Result != selfcheck.Pass {
		t.Errorf("not past: %+v", c)
	}
	job.Dues = []scheduler.Due{{ID: "x", Step: "win.delivery", On: day("2026-05-19")}}
	if c := run(t, job, nil)["orders past their day"]; c.Result != selfcheck.Fail || c.Figure != "1" {
		t.Errorf("past: %+v", c)
	}
}

// TestWhatNoSoundPlanHas: dates and leads that the reader refuses are still counted
// when a plan or a network brings them.
func TestWhatNoSoundPlanHas(t *testing.T) {
	job := hut()
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := replan(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	net.Waits[0].Least.Amount = -1
	plan.Steps[0].Start = plan.AsOf.Add(-time.Hour)
	job.Facts = []scheduler.Fact{
		{Step: "b", Started: when("2026-05-19")},
		{Step: "c", Started: when("2026-05-12 10:00"), Done: when("2026-05-12 09:00")},
	}
	checks, err := selfcheck.Run(t.Context(), net, plan, nil)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"leads": "1", "impossible dates": "3"} {
		k := slices.IndexFunc(checks, func(c selfcheck.Check) bool { return c.Name == name })
		if checks[k].Figure != want || checks[k].Result != selfcheck.Fail {
			t.Errorf("%+v", checks[k])
		}
	}
}
