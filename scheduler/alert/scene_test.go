package alert_test

import (
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/alert"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/worktime"
)

type ids = []scheduler.ID

// scene is a small job of ours with a plan written by hand: as of Mon 18 May 2026,
// eight hours from Monday to Friday.
type scene struct {
	job  *scheduler.Job
	plan *scheduler.Plan
}

func newScene() *scene {
	var week worktime.Week
	for d := time.Monday; d <= time.Friday; d++ {
		week[d] = []worktime.Period{{From: 8 * 60, To: 16 * 60}}
	}
	return &scene{
		job: &scheduler.Job{
			Zone: "UTC", Start: day("2026-03-02"), Week: week,
			People: []scheduler.Person{{ID: "kim", Name: "Kim Example"}},
			Trades: []scheduler.Trade{
				{ID: "framing", Title: "Framing", Crews: 1, Notice: days(5)}, {ID: "windows", Title: "Window setting", Crews: 1},
			},
			Places: []scheduler.Place{
				{ID: "site", Title: "The site"},
				{ID: "house", Title: "House", Within: "site", Room: 2},
				{ID: "north", Title: "North wall", Within: "house"},
				{ID: "south", Title: "South wall", Within: "house"},
				{ID: "garden", Title: "Garden", Within: "site"},
			},
		},
		plan: &scheduler.Plan{AsOf: at("2026-05-18 00:00"), DayMinutes: 480},
	}
}

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

func at(s string) time.Time {
	t, err := time.ParseInLocation("2006-01-02 15:04", s, time.UTC)
	if err != nil {
		panic(err)
	}
	return t
}

func days(n int32) worktime.Span { return worktime.Span{Amount: n, Unit: worktime.Days} }

func elapsedHours(n int32) worktime.Span {
	return worktime.Span{Amount: n, Unit: worktime.ElapsedHours}
}

func start(id scheduler.ID) scheduler.Point { return scheduler.Point{Step: id} }

func finish(id scheduler.ID) scheduler.Point {
	return scheduler.Point{Step: id, End: scheduler.Finish}
}

// task adds a task of one trade and its planned dates.
func (s *scene) task(id, trade, place scheduler.ID, state scheduler.State, from, to string) *scheduler.PlannedStep {
	w := scheduler.Work{Crews: 1, Takes: days(1)}
	if trade != "" {
		w.Trades = ids{trade}
	}
	if place != "" {
		w.Places = ids{place}
	}
	s.job.Tasks = append(s.job.Tasks, scheduler.Task{ID: id, Title: "The " + string(id), Work: w})
	return s.planned(scheduler.PlannedStep{ID: id, Kind: scheduler.TaskStep, Trades: w.Trades, Places: w.Places, State: state, Work: 480}, from, to)
}

// hold adds a hold point of kim's and its planned release.
func (s *scene) hold(id scheduler.ID, kind scheduler.HoldKind, state scheduler.State, on string) *scheduler.PlannedHold {
	s.job.Holds = append(s.job.Holds, scheduler.Hold{ID: id, Title: "The " + string(id), Kind: kind, By: "kim"})
	s.planned(scheduler.PlannedStep{ID: id, Kind: scheduler.HoldStep, State: state}, on, on)
	far := at("2027-01-01 00:00")
	s.plan.Holds = append(s.plan.Holds, scheduler.PlannedHold{
		ID: id, Title: "The " + string(id), Kind: kind, By: "kim", State: state, Planned: at(on), NeedBy: far, LatestBy: far, Margin: 4800,
	})
	return &s.plan.Holds[len(s.plan.Holds)-1]
}

func (s *scene) planned(p scheduler.PlannedStep, from, to string) *scheduler.PlannedStep {
	p.Start, p.Finish = at(from), at(to)
	p.LatestFinish = p.Finish
	s.plan.Steps = append(s.plan.Steps, p)
	return &s.plan.Steps[len(s.plan.Steps)-1]
}

func (s *scene) step(id scheduler.ID) *scheduler.PlannedStep { return s.plan.FindStep(id) }

func (s *scene) wait(from, to scheduler.Point, reason scheduler.Reason) *scheduler.Wait {
	s.job.Waits = append(s.job.Waits, scheduler.Wait{From: from, To: to, Reason: reason})
	return &s.job.Waits[len(s.job.Waits)-1]
}

func (s *scene) fact(f scheduler.Fact) { s.job.Facts = append(s.job.Facts, f) }

func (s *scene) find(t *testing.T) []scheduler.Alert {
	t.Helper()
	net, err := expand.Expand(s.job)
	if err != nil {
		t.Fatal(err)
	}
	return alert.Find(net, s.plan)
}

// of keeps the alerts of one kind.
func of(kind scheduler.AlertKind, all []scheduler.Alert) []scheduler.Alert {
	return slices.DeleteFunc(slices.Clone(all), func(a scheduler.Alert) bool { return a.Kind != kind })
}

// told is what a test expects of an alert.
type told struct {
	Key      string
	Severity scheduler.Severity
	Sentence string
}

// expect wants just these alerts of a kind, each with a remedy.
func (s *scene) expect(t *testing.T, kind scheduler.AlertKind, want ...told) []scheduler.Alert {
	t.Helper()
	found := of(kind, s.find(t))
	var got []told
	for _, a := range found {
		got = append(got, told{a.Key, a.Severity, a.Sentence})
		if a.Remedy == "" || len(a.Steps) == 0 {
			t.Errorf("%s has no remedy or no steps", a.Key)
		}
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("%s (-want +got):\n%s", kind, d)
	}
	return found
}
