package web

import (
	"maps"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/google/uuid"

	"gaugerod/api/office"
	"gaugerod/scheduler"
)

// TestAJobFromNothingInAFewForms sets a job up by forms alone, on a real database, to a
// plan with dates.
func TestAJobFromNothingInAFewForms(t *testing.T) {
	s := newStoredSite(t, garden)
	forms := 0
	send := func(path string, with url.Values) string {
		t.Helper()
		_, doc := s.get(path)
		v := filled(doc)
		maps.Copy(v, with)
		forms++
		w, doc := s.post(path, v)
		if w.Code != http.StatusSeeOther {
			t.Fatalf("%s: %d: %s %s", path, w.Code, says(doc, ".problem"), says(doc, "#wrong"))
		}
		return w.Header().Get("Location")
	}
	_, doc := s.get("/")
	if len(find(doc, "a[href=/new-job]")) != 1 {
		t.Fatal("no way leads to a new job")
	}
	to := send("/new-job", url.Values{"title": {"A small house"}, "zone": {"Europe/Vienna"}, "people.owner.name": {"Zoe Example"}})
	if to != "/jobs/a-small-house/begin" {
		t.Fatal(to)
	}
	home := "/jobs/a-small-house"
	for _, path := range []string{"", "/places", "/alerts", "/orders", "/trades", "/layers", "/history", "/edit", "/issued"} {
		if w, _ := s.get(home + path); w.Code != http.StatusOK {
			t.Errorf("%s of a job with nothing in it: %d", path, w.Code)
		}
	}
	send(to, url.Values{"foundation-steps": {"true"}, "wall-steps": {"true"}, "roof-steps": {"true"}, "window-steps": {"true"}, "wet-room-steps": {"true"}, "kitchen-steps": {"true"}})
	send(home+"/edit/tasks/+", url.Values{"title": {"Sweep and hand over"}, "takes": {"1 day"}, "after-0-step": {"kitchen-steps.connect"}})
	send(home+"/edit/dues/+", url.Values{"title": {"Handed over"}, "step": {"sweep-and-hand-over"}, "on": {"2027-03-01"}})
	if forms > 6 {
		t.Errorf("it took %d forms", forms)
	}
	sheet := s.smallHouse()
	if job := sheet.Job; job.People[0].Role != scheduler.Owner {
		t.Errorf("%+v", job.People)
	}

	// Once more, and with what cannot be.
	for _, c := range []struct {
		path string
		with url.Values
		word string
	}{
		{"/new-job", url.Values{"title": {"A small house"}, "people.owner.name": {"Zoe Example"}}, "already"},
		{"/new-job", url.Values{"title": {""}, "people.owner.name": {"Zoe Example"}, "short-name": {"x"}}, "title"},
		{"/new-job", url.Values{"title": {"T"}, "people.owner.name": {"Zoe Example"}, "short-name": {"No Name"}}, "cannot be one"},
		{"/new-job", url.Values{"title": {"T"}, "people.owner.name": {"Zoe Example"}, "zone": {"Moon/Sea"}}, "Moon/Sea"},
		{"/new-job", url.Values{"title": {"T"}, "people.owner.name": {"Zoe Example"}, "start": {"soon"}}, "soon"},
		{"/new-job", url.Values{"title": {strings.Repeat("x", maxField+1)}}, "too long"},
		{home + "/begin", url.Values{}, "othing is chosen"},
		{home + "/begin", url.Values{"roof-steps": {"true"}}, "already"},
	} {
		_, doc := s.get(c.path)
		v := filled(doc)
		maps.Copy(v, c.with)
		w, doc := s.post(c.path, v)
		said := ""
		for _, at := range append(find(doc, ".problem"), find(doc, "#wrong")...) {
			said += text(at)
		}
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(said, c.word) {
			t.Errorf("%s with %v: %d %q", c.path, c.with, w.Code, said)
		}
	}
}

// smallHouse is the job that was made from nothing: all of it has days, its last step too.
func (s *site) smallHouse() *office.Sheet {
	s.t.Helper()
	sheet, err := s.pages.office.Sheet(s.t.Context(), "a-small-house", nil)
	if err != nil {
		s.t.Fatal(err)
	}
	last := sheet.Plan.FindStep("sweep-and-hand-over")
	if last == nil || len(sheet.Plan.Steps) < 50 || last.Start.Before(sheet.Plan.FindStep("ground.strip").Finish) {
		s.t.Errorf("%d steps, the last %+v", len(sheet.Plan.Steps), last)
	}
	return sheet
}

// TestTwoWhoMakeAJobOfOneName send the form at the same moment, on a real database: one
// makes the job, and the other is told at the field of the name.
func TestTwoWhoMakeAJobOfOneName(t *testing.T) {
	s := newStoredSite(t, garden)
	_, doc := s.get("/new-job")
	const many = 4
	codes, said := make([]int, many), make([]string, many)
	var all sync.WaitGroup
	for k := range many {
		v := filled(doc)
		v.Set("title", "One house")
		v.Set("people.owner.name", "Owner "+strconv.Itoa(k))
		v.Set("request", uuid.NewString())
		all.Go(func() {
			w, doc := s.post("/new-job", v)
			codes[k], said[k] = w.Code, says(doc, ".ask .problem")
		})
	}
	all.Wait()
	sheet, err := s.pages.office.Sheet(t.Context(), "one-house", nil)
	if err != nil {
		t.Fatal(err)
	}
	for k := range many {
		switch mine := sheet.Job.People[0].Name == "Owner "+strconv.Itoa(k); {
		case mine && codes[k] != http.StatusSeeOther:
			t.Errorf("who made it got %d %q", codes[k], said[k])
		case !mine && (codes[k] != http.StatusUnprocessableEntity || !strings.Contains(said[k], "already")):
			t.Errorf("another got %d %q", codes[k], said[k])
		}
	}
}
