package network

import (
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// small is a job of tasks of one day each, on five-day weeks from a Monday.
func small(ids ...scheduler.ID) *scheduler.Job {
	day := []worktime.Period{{From: 8 * 60, To: 16 * 60}}
	job := &scheduler.Job{
		ID: "small", Zone: "UTC", Start: worktime.NewDate(2026, 3, 2),
		Week: worktime.Week{1: day, 2: day, 3: day, 4: day, 5: day},
	}
	for _, id := range ids {
		job.Tasks = append(job.Tasks, scheduler.Task{ID: id, Title: string(id), Work: scheduler.Work{Takes: days(1)}})
	}
	return job
}

func days(n int32) worktime.Span { return worktime.Span{Amount: n, Unit: worktime.Days} }

func after(from, to scheduler.ID) scheduler.Wait {
	return scheduler.Wait{
		From: scheduler.Point{Step: from, End: scheduler.Finish}, To: scheduler.Point{Step: to, End: scheduler.Start},
	}
}

func within24(w scheduler.Wait, most worktime.Span) scheduler.Wait {
	w.Most = &most
	return w
}

func lay(t *testing.T, job *scheduler.Job) *Graph {
	t.Helper()
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	g, err := Build(net, job.Start, 3*366)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func conflictsOf(t *testing.T, job *scheduler.Job) []Conflict {
	t.Helper()
	_, conflicts, err := lay(t, job).Earliest()
	if err != nil {
		t.Fatal(err)
	}
	return conflicts
}

func TestLoopOfWaits(t *testing.T) {
	job := small("a", "b", "c", "d")
	job.Waits = []scheduler.Wait{after("a", "b"), after("b", "c"), after("c", "a"), after("c", "d")}
	conflicts := conflictsOf(t, job)
	if len(conflicts) != 1 || len(conflicts[0].Arcs) != 3 {
		t.Fatalf("conflicts are %+v, want one of three waits", conflicts)
	}
	if conflicts[0].Dropped != 2 {
		t.Errorf("wait %d was set aside, want the one written last", conflicts[0].Dropped)
	}
}

func TestMostTimeThatWaitsBreak(t *testing.T) {
	job := small("a", "b", "c")
	job.Waits = []scheduler.Wait{after("a", "b"), after("b", "c"), within24(after("a", "c"), worktime.Span{Amount: 4, Unit: worktime.Hours})}
	g := lay(t, job)
	early, conflicts, err := g.Earliest()
	if err != nil {
		t.Fatal(err)
	}
	if len(conflicts) != 1 || len(conflicts[0].Waits(g)) != 3 || conflicts[0].Dropped != 2 {
		t.Fatalf("conflicts are %+v, want the most time against the two waits", conflicts)
	}
	if got := early.Start[2]; got != early.Finish[1]+16*60 {
		t.Errorf("without the most time c starts at %d, b finishes at %d", got, early.Finish[1])
	}
}

func TestMostTimeAcrossAClosureComesToRest(t *testing.T) {
	job := small("a", "b")
	job.Closures = []scheduler.Closure{{From: worktime.NewDate(2026, 3, 3), To: worktime.NewDate(2026, 3, 20), Why: "closed"}}
	job.Waits = []scheduler.Wait{within24(after("a", "b"), worktime.Span{Amount: 24, Unit: worktime.ElapsedHours})}
	g := lay(t, job)
	early, conflicts, err := g.Earliest()
	if err != nil || len(conflicts) > 0 {
		t.Fatalf("conflicts are %+v, %v: after the closure the two fit", conflicts, err)
	}
	if day := early.Start[1].Date(g.Zone).String(); day != "2026-03-23" {
		t.Errorf("b starts on %s", day)
	}
	if gap := early.Start[1] - early.Finish[0]; gap > 24*60 {
		t.Errorf("b starts %d minutes after a", gap)
	}
}

func TestPinAgainstWaits(t *testing.T) {
	job := small("a", "b")
	monday := job.Start
	job.Waits = []scheduler.Wait{after("a", "b")}
	job.Pins = []scheduler.Pin{{Step: "b", On: &monday, By: "kim", Reason: "said so"}}
	conflicts := conflictsOf(t, job)
	if len(conflicts) != 1 || conflicts[0].Pin != 0 || len(conflicts[0].Arcs) != 1 {
		t.Fatalf("conflicts are %+v, want the pin against the wait", conflicts)
	}
}

func TestFactAgainstMostTime(t *testing.T) {
	job := small("a", "b", "c")
	done := worktime.When{Day: job.Start}
	job.Facts = []scheduler.Fact{{Step: "a", Done: &done}}
	job.Waits = []scheduler.Wait{within24(after("a", "b"), worktime.Span{Amount: 2, Unit: worktime.ElapsedDays}), after("c", "b")}
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	g, err := Build(net, job.Start+7, 3*366)
	if err != nil {
		t.Fatal(err)
	}
	_, conflicts, err := g.Earliest()
	if err != nil {
		t.Fatal(err)
	}
	if len(conflicts) != 1 || conflicts[0].Fact != 0 || conflicts[0].Dropped != 0 {
		t.Fatalf("conflicts are %+v, want the most time against what was recorded of a", conflicts)
	}
}

func TestDatesPastTheCalendars(t *testing.T) {
	job := small("a", "b")
	job.Tasks[0].Takes = worktime.Span{Amount: 2000, Unit: worktime.Days}
	job.Waits = []scheduler.Wait{after("a", "b")}
	if _, _, err := lay(t, job).Earliest(); err != ErrBeyond {
		t.Errorf("error is %v, want ErrBeyond", err)
	}
}

// TestConflictsAreMinimal leaves out one wait of a set at a time: what remains of
// the set no longer contradicts itself.
func TestConflictsAreMinimal(t *testing.T) {
	found := 0
	for seed := range uint64(400) {
		job := randomjob.New(seed, randomjob.Size{Steps: 25, Tight: 60, Without: randomjob.Facts | randomjob.Pins})
		g := build(t, job)
		_, conflicts, err := g.Earliest()
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range conflicts {
			found++
			for _, left := range c.Arcs {
				only := build(t, job)
				for k := range only.Arcs {
					only.Arcs[k].Dropped = true
				}
				for _, k := range c.Arcs {
					only.Arcs[k].Dropped = k == left
				}
				if _, rest, err := only.Earliest(); err != nil || len(rest) > 0 {
					t.Fatalf("seed %d: without arc %d the set still contradicts itself: %+v, %v", seed, left, rest, err)
				}
			}
		}
	}
	if found < 20 {
		t.Errorf("only %d contradictions were met: the test shows little", found)
	}
}
