package published_test

import (
	"os"
	"slices"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/worktime"
)

const tradeOrderFile = "../../testdata/published/trade-order.job.yaml"

// brokenOrders is each published order of two steps, with its source.
var brokenOrders = []struct {
	source      string
	first, then scheduler.ID
}{
	{"IRC R109.1.1: foundation seen before concrete", "foundation-seen", "concrete"},
	{"IRC R109.1.2: roughs seen before they are covered", "roughs-seen", "insulation"},
	{"IRC R109.1.2: roughs seen before fixtures", "roughs-seen", "fixtures"},
	{"IRC R109.1.2 and R109.1.4: roughs seen before the frame inspection", "roughs-seen", "frame-seen"},
	{"IRC R109.1.4: frame and bracing in place before the frame inspection", "framing", "frame-seen"},
	{"IRC R109.1.4: frame seen before it is covered", "frame-seen", "insulation"},
	{"IRC R109.1.5.1: fire-rated board seen before taping", "board-seen", "taping"},
	{"IRC R109.1.6: final inspection before use", "final-seen", "moved-in"},
	{"US DOE, Build sill pan; ASTM E2112-07: pan before the window", "pan", "unit"},
	{"US DOE, Build sill pan: window before the side flashing", "unit", "side-flashing"},
	{"US DOE, Build sill pan: sides before the head", "side-flashing", "head-flashing"},
	{"US DOE, Build sill pan: head before the lap", "head-flashing", "lap"},
	{"a trade page and an energy adviser's page: leakage test before insulation", "leak-test", "insulation"},
}

// Recorded in the published order, nothing is flagged.
func TestPublishedOrdersKeptAreNotFlagged(t *testing.T) {
	job, steps := readTradeOrder(t)
	record(job, steps, steps)
	for _, a := range planOf(t, job).Alerts {
		if a.Kind == scheduler.OutOfOrder || a.Kind == scheduler.CoveredUnseen {
			t.Errorf("flagged although the order was kept: %s", a.Sentence)
		}
	}
}

// With the first step never done, or done only after the second, the pair is
// flagged, and the second is shown as out of order.
func TestPublishedOrdersBrokenAreFlagged(t *testing.T) {
	for _, c := range brokenOrders {
		t.Run(c.source+", left out", func(t *testing.T) {
			job, steps := readTradeOrder(t)
			done := steps[:slices.Index(steps, c.then)+1]
			done = slices.DeleteFunc(slices.Clone(done), func(id scheduler.ID) bool { return id == c.first })
			record(job, steps, done)
			wantFlag(t, job, c.first, c.then)
		})
		t.Run(c.source+", turned round", func(t *testing.T) {
			job, steps := readTradeOrder(t)
			done := slices.Clone(steps[:slices.Index(steps, c.then)+1])
			i := slices.Index(done, c.first)
			done = append(slices.Delete(done, i, i+1), c.first)
			record(job, steps, done)
			wantFlag(t, job, c.first, c.then)
		})
	}
}

func wantFlag(t *testing.T, job *scheduler.Job, first, then scheduler.ID) {
	t.Helper()
	plan := planOf(t, job)
	if !plan.FindStep(then).OutOfOrder {
		t.Errorf("%s is not shown as out of order", then)
	}
	for _, a := range plan.Alerts {
		if a.Kind != scheduler.OutOfOrder && a.Kind != scheduler.CoveredUnseen {
			continue
		}
		if slices.Contains(a.Steps, first) && slices.Contains(a.Steps, then) {
			return
		}
	}
	t.Errorf("%s before %s raises no alert", then, first)
}

// readTradeOrder is the job and its steps in an order that keeps every wait.
func readTradeOrder(t *testing.T) (*scheduler.Job, []scheduler.ID) {
	t.Helper()
	data, err := os.ReadFile(tradeOrderFile)
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read("testdata/published/trade-order.job.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	var sorted []scheduler.ID
	for len(sorted) < len(net.Steps) {
		before := len(sorted)
		for k := range net.Steps {
			id := net.Steps[k].ID
			ready := !slices.Contains(sorted, id) && !slices.ContainsFunc(net.Waits, func(w scheduler.Wait) bool {
				return w.To.Step == id && !slices.Contains(sorted, w.From.Step)
			})
			if ready {
				sorted = append(sorted, id)
			}
		}
		if len(sorted) == before {
			t.Fatal("the published orders run in a loop")
		}
	}
	return job, sorted
}

// record writes down that steps were done one after the other, a day each, and puts
// as of behind the last of all steps.
func record(job *scheduler.Job, all, done []scheduler.ID) {
	day := job.Start
	for _, id := range done {
		when := worktime.When{Day: day}
		fact := scheduler.Fact{Step: id, Started: &when, Done: &when}
		for k := range job.Holds {
			if job.Holds[k].ID == id {
				fact = scheduler.Fact{Step: id, Released: &when, By: job.Holds[k].By}
			}
		}
		job.Facts = append(job.Facts, fact)
		day++
	}
	asOf := job.Start + worktime.Date(len(all)) + 1
	job.AsOf = &asOf
}
