package compare_test

import (
	"context"
	"os"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

// TestADeliverySlipsNineDays asks the owner's question of the demo house: if this
// delivery slips nine days, what moves and whom do I ring?
func TestADeliverySlipsNineDays(t *testing.T) {
	data, err := os.ReadFile("../../testdata/demo.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	plan := func(job *scheduler.Job) *scheduler.Plan {
		t.Helper()
		p, err := planner.Plan(context.Background(), job, planner.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if faults := verify.Plan(job, p); len(faults) > 0 {
			t.Fatal(faults)
		}
		return p
	}
	job, err := jobfile.Read("demo.job.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	was := plan(job)
	delivery := was.FindStep("windows.delivery")
	late := worktime.When{Day: worktime.DateOf(delivery.Start) + 9}
	if err := job.Record(scheduler.Fact{Step: "windows.delivery", Expected: &late}); err != nil {
		t.Fatal(err)
	}
	is := plan(job)
	c := compare.Plans(was, is, job)

	order := findOrder(c, "windows")
	if order == nil || *order.DeliveryIs-*order.DeliveryWas < 9 {
		t.Fatalf("the delivery: %+v", order)
	}
	// Everything told is so in the two plans, and every window that moved is told.
	told := map[string]bool{}
	for _, w := range c.Windows {
		told[w.Window] = true
		if w.Change != compare.Moved {
			continue
		}
		if from, until := spanOf(was, w.Steps); from != w.Was.From || until != w.Was.Until {
			t.Errorf("%s was %s to %s, told %+v", w.Window, from, until, w.Was)
		}
		if from, until := spanOf(is, w.Steps); from != w.Is.From || until != w.Is.Until || *w.Is == *w.Was {
			t.Errorf("%s is %s to %s, told %+v", w.Window, from, until, w.Is)
		}
	}
	for _, w := range was.Windows {
		from, until := spanOf(is, w.Steps)
		wasFrom, wasUntil := w.Days()
		if moved := from != wasFrom || until != wasUntil; moved != told[w.ID] {
			t.Errorf("%s: moved %v, told %v", w.ID, moved, told[w.ID])
		}
	}
	callFirm(t, c, "window-works") // the supplier
	setters := callFirm(t, c, "windows")
	if setters == nil || setters.Lines[0].About != compare.OfWindow {
		t.Errorf("the window setters: %+v", setters)
	}
	for k := 1; k < len(c.Calls); k++ {
		if c.Calls[k].First < c.Calls[k-1].First {
			t.Errorf("call %d is for %s, the one before it for %s", k, c.Calls[k].First, c.Calls[k-1].First)
		}
	}
	t.Logf("finish %+v, %d windows, %d calls", c.Finish, len(c.Windows), len(c.Calls))
	for _, call := range c.Calls {
		t.Log(call.First, call.Sentence)
	}
}

func findOrder(c *compare.Comparison, id scheduler.ID) *compare.OrderMove {
	for k := range c.Orders {
		if c.Orders[k].ID == id {
			return &c.Orders[k]
		}
	}
	return nil
}

func callFirm(t *testing.T, c *compare.Comparison, who scheduler.ID) *compare.Call {
	t.Helper()
	for k := range c.Calls {
		if c.Calls[k].Who == who {
			return &c.Calls[k]
		}
	}
	t.Errorf("nobody rings %s", who)
	return nil
}

// spanOf counts the days of steps anew, by plain means.
func spanOf(p *scheduler.Plan, steps []scheduler.ID) (from, until worktime.Date) {
	for k, id := range steps {
		s := p.FindStep(id)
		a, b := s.Start, s.Finish
		if b.Hour() == 0 && b.Minute() == 0 && b.After(a) {
			b = b.Add(-time.Minute)
		}
		if k == 0 || worktime.DateOf(a) < from {
			from = worktime.DateOf(a)
		}
		if k == 0 || worktime.DateOf(b) > until {
			until = worktime.DateOf(b)
		}
	}
	return from, until
}
