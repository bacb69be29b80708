package web

import (
	"slices"
	"strings"
	"testing"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/why"
	"gaugerod/scheduler/worktime"
)

// drivenStage is a stage of an order that only the one before it holds, of which there
// is plenty left, and that one.
func drivenStage(s *site) (held, by *scheduler.PlannedStep) {
	plan := s.sheet().Plan
	for k := range plan.Steps {
		st := &plan.Steps[k]
		if st.Kind != scheduler.StageStep || st.State != scheduler.Waiting {
			continue
		}
		all, err := why.Holders(plan, st.ID)
		if err != nil {
			s.t.Fatal(err)
		}
		at := slices.IndexFunc(all, func(h why.Holder) bool {
			first := plan.FindStep(h.Step)
			return h.Only && h.Kind == why.Work && first.State != scheduler.Underway && !first.Elapsed && first.Work > 8*plan.DayMinutes
		})
		if at >= 0 {
			return st, plan.FindStep(all[at].Step)
		}
	}
	s.t.Fatal("no stage of an order is held by another one")
	return nil, nil
}

// TestEarlierIsTriedByPlanning asks what would have to change for a stage of an order to
// start earlier. The answer names the stage before it; changing that for good moves the
// step by as much as was said, and asking itself keeps nothing.
func TestEarlierIsTriedByPlanning(t *testing.T) {
	s := newSite(t, demo)
	held, by := drivenStage(s)
	_, doc := s.get(s.job + "/steps/" + string(held.ID) + "?earlier=3")
	section := find(doc, "#earlier")[0]
	if said := text(section); !strings.Contains(said, "enough by itself, as the job stands") && !strings.Contains(said, "each enough") {
		t.Fatalf("the answer is %s", said)
	}
	named := false
	for _, n := range find(section, "li") {
		named = named || strings.Contains(text(n), by.Title) && strings.Contains(text(n), "which is enough")
	}
	if !named {
		t.Errorf("%s is not named in %s", by.Title, text(section))
	}
	if s.sheet().Revision != 1 {
		t.Error("asking has changed the job")
	}

	plan := s.sheet().Plan
	takes := worktime.Span{Amount: int32(by.Work - 3*plan.DayMinutes), Unit: worktime.Minutes}
	if _, err := s.memory.Change(t.Context(), plan.Job, db.By("owner"), func(j *scheduler.Job) error { return j.SetTakes(by.ID, takes) }); err != nil {
		t.Fatal(err)
	}
	if is := s.sheet().Plan.FindStep(held.ID).Start; is.After(held.Start.AddDate(0, 0, -3)) {
		t.Errorf("with it changed, the step goes from %s to %s", held.Start, is)
	}
}

// TestEarlierIsAskedWithSense asks for what makes no sense, and of a day that is not the
// job's own.
func TestEarlierIsAskedWithSense(t *testing.T) {
	s := newSite(t, demo)
	held, _ := drivenStage(s)
	path := s.job + "/steps/" + string(held.ID)
	for _, days := range []string{"0", "-3", "91", "many"} {
		_, doc := s.get(path + "?earlier=" + days)
		if !strings.Contains(text(find(doc, "#earlier")[0]), "Give a number of days from 1 to 90.") || len(find(doc, "#earlier li")) > 0 {
			t.Errorf("%s days are taken", days)
		}
	}
	if _, doc := s.get(path + "?as-of=2026-07-01"); len(find(doc, "#earlier")) > 0 {
		t.Error("it is asked of another day than the job's own")
	}
}
