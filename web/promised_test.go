package web

import (
	"strings"
	"testing"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// slipped is the pages of the demo, whose plan was issued before the windows were said to
// come nine days later.
func slipped(t *testing.T) *site {
	t.Helper()
	s := newSite(t, demo)
	sheet := s.sheet()
	edit := db.By("a test")
	edit.At = sheet.Revision
	if _, _, err := s.pages.office.Issue(t.Context(), sheet.Job.ID, edit, scheduler.Issue{On: sheet.AsOf, By: "owner", Note: "Agreed"}); err != nil {
		t.Fatal(err)
	}
	late := worktime.When{Day: worktime.DateOf(sheet.Plan.FindStep("windows.delivery").Start) + 9}
	_, err := s.pages.office.Change(t.Context(), sheet.Job.ID, db.By("a test"), func(j *scheduler.Job) error {
		return j.Record(scheduler.Fact{Step: "windows.delivery", Expected: &late})
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestPromisedAgainstNow(t *testing.T) {
	s := slipped(t)
	wantWords(t, s, s.job+"/places?weeks=16", "windows promised; ", "moved since issue A", ": promised ")
	_, doc := s.get(s.job + "/places?weeks=16")
	moved, sheet := 0, s.sheet()
	for k := range sheet.Job.Promises {
		p := &sheet.Job.Promises[k]
		now := scheduler.StandingOf(sheet.Plan.FindStep, p.Trade, p.Place, p.Steps)
		if now.Moved(p.From, p.Until) {
			moved++
		}
	}
	if lines := find(doc, ".moved li"); moved == 0 || len(lines) != min(moved, mostMoved+1) {
		t.Errorf("%d windows have moved, %d are told", moved, len(lines))
	}
	drawn := 0
	for _, n := range find(doc, ".course path.pr") {
		drawn += strings.Count(attr(n, "d"), "M")
	}
	if drawn < moved/2 {
		t.Error("what was promised is not drawn")
	}
	told := 0
	for _, title := range find(doc, ".course title") {
		if strings.Contains(text(title), "Promised ") && strings.Contains(text(title), ", now ") {
			told++
		}
	}
	if w, _ := s.get(s.job + "/places?weeks=0"); w.Body.Len() > maxWeight {
		t.Errorf("the whole job weighs %d bytes", w.Body.Len())
	}
	if told == 0 {
		t.Error("no block says that it has moved")
	}
	wantWords(t, newSite(t, demo), s.job+"/places", "Nothing has been promised yet")
}

// TestPromiseInWords: a promise that stands, two that have moved, one whose step is gone.
func TestPromiseInWords(t *testing.T) {
	b, err := newBoard(scene(), readAt, false)
	if err != nil {
		t.Fatal(err)
	}
	day := func(d int) worktime.Date { return worktime.NewDate(2026, 5, d) }
	for _, c := range []struct {
		steps       []scheduler.ID
		from, until int
		want        string
	}{
		{[]scheduler.ID{"boards"}, 21, 22, "promised Thu 21 May to Fri 22 May, and it stands"},
		{[]scheduler.ID{"boards"}, 19, 20, "promised Tue 19 May, now Thu 21 May"},
		{[]scheduler.ID{"boards"}, 21, 21, "promised Thu 21 May, now Thu 21 May to Fri 22 May"},
		{[]scheduler.ID{"nails"}, 21, 22, "promised Thu 21 May to Fri 22 May, no longer planned"},
	} {
		p := scheduler.Promise{Trade: "boards", Place: "wall", Steps: c.steps, From: day(c.from), Until: day(c.until)}
		find := func(id scheduler.ID) *scheduler.PlannedStep { return b.steps[id] }
		now := scheduler.StandingOf(find, p.Trade, p.Place, p.Steps)
		if got := b.says(promised{&p, now, now.Moved(p.From, p.Until)}).Text(); got != c.want {
			t.Errorf("%v: %q, not %q", c.steps, got, c.want)
		}
	}
}
