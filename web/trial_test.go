package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// beginTrial is the pages of the demo with one trial in which nothing is changed yet.
func beginTrial(t *testing.T) (s *site, at string) {
	t.Helper()
	s = newSite(t, "../testdata/demo.job.yaml")
	wantWords(t, s, s.job+"/trials", "No trial is open", "Begin a trial")
	w, _ := s.post(s.job+"/trials", url.Values{"title": {"Windows late"}})
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != s.job+"/trials/1" {
		t.Fatalf("%d to %q", w.Code, w.Header().Get("Location"))
	}
	return s, s.job + "/trials/1"
}

func (s *site) mustPost(path string, values url.Values) {
	s.t.Helper()
	if w, _ := s.post(path, values); w.Code != http.StatusSeeOther {
		s.t.Fatalf("%s: %d: %s", path, w.Code, w.Body.String())
	}
}

func TestATrialIsMadeLookedAtAndAdopted(t *testing.T) {
	s, at := beginTrial(t)
	wantWords(t, s, at, "Windows late", "Nothing yet.", "No day moves.")
	late := url.Values{"what": {"expected"}, "step": {delivery(t, s)}, "day": {"2026-10-30"}}
	// Looked at first: nothing is kept.
	wantWords(t, s, at+"?"+late.Encode(), "Only looked at, not added", "is expected on Fri 30 Oct 2026", "The finish moves from", "Whom to ring if it is adopted")
	wantWords(t, s, at, "Nothing yet.")
	s.mustPost(at+"/add", late)
	wantWords(t, s, at, "is expected on Fri 30 Oct 2026", "Take out", "The finish moves from", "Today’s plan and the trial", "With the trial", "Adopt: make these changes")
	wantWords(t, s, s.job+"/trials", "Windows late", "is expected on Fri 30 Oct 2026")
	if s.memory.revision != 1 {
		t.Fatalf("the job is at revision %d", s.memory.revision)
	}
	hidden := s.hiddenFields(at, "/trials/1/adopt")
	s.mustPost(at+"/adopt", hidden)
	wantWords(t, s, at+"?said=adopted", "The trial is adopted", "Adopted in")
	wantWords(t, s, s.job+"/trials", "No trial is open", "adopted in")
	if w, _ := s.post(at+"/adopt", hidden); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "was adopted") {
		t.Errorf("adopted again: %d", w.Code)
	}
}

// delivery is one that lies ahead, as the form offers it.
func delivery(t *testing.T, s *site) string {
	t.Helper()
	job := s.memory.job()
	for k := range job.Orders {
		if job.Orders[k].ID == "windows" {
			return string(job.Orders[k].DeliveryStep())
		}
	}
	t.Fatal("no order of windows")
	return ""
}

func TestEveryFormOfATrial(t *testing.T) {
	s, at := beginTrial(t)
	job := s.memory.job()
	task, trade, person, layers := "", string(job.Trades[0].ID), string(job.People[0].ID), job.BuildUps[0]
	for k := range job.Tasks {
		if job.FindFact(job.Tasks[k].ID) == nil {
			task = string(job.Tasks[k].ID)
		}
	}
	for _, values := range []url.Values{
		{"what": {"takes"}, "step": {task}, "takes": {"9 days"}},
		{"what": {"crews"}, "trade": {trade}, "crews": {"3"}},
		{"what": {"off"}, "trade": {trade}, "from": {"2026-08-03"}, "to": {"2026-08-07"}},
		{"what": {"pin"}, "step": {task}, "day": {"2026-08-03"}, "by": {person}, "reason": {"the road is closed"}},
	} {
		s.mustPost(at+"/add", values)
	}
	wantWords(t, s, at, "takes 9 days", "can send 3 crews", "cannot come from Mon 3 Aug 2026 to Fri 7 Aug 2026", "does not start before Mon 3 Aug 2026")
	out := s.hiddenFields(at, "/trials/1/take-out")
	s.mustPost(at+"/take-out", out)
	if w, _ := s.get(at); strings.Contains(w.Body.String(), "takes 9 days <button") {
		t.Error("it is there still")
	}
	for _, c := range []struct {
		path   string
		values url.Values
		says   string
	}{
		{"/take-out", out, "Somebody has changed this trial"},
		{"/add", url.Values{"what": {"takes"}, "step": {task}, "takes": {"soon"}}, "soon"},
		{"/add", url.Values{"what": {"takes"}, "step": {""}, "takes": {"1 day"}}, "Choose one."},
		{"/add", url.Values{"what": {"crews"}, "trade": {trade}, "crews": {"0"}}, "give 1 or more"},
		{"/add", url.Values{"what": {"crews"}, "trade": {trade}, "crews": {"many"}}, "Give a whole number."},
		{"/add", url.Values{"what": {"off"}, "trade": {trade}, "from": {"2026-08-07"}, "to": {"2026-08-03"}}, "put the earlier day first"},
		{"/add", url.Values{"what": {"off"}, "trade": {trade}}, "Give the day."},
		{"/add", url.Values{"what": {"pin"}, "step": {task}, "day": {"2026-08-03"}, "by": {person}}, "say why it is pinned"},
		{"/add", url.Values{"what": {"layer"}, "layer": {string(layers.ID) + " " + string(layers.Layers[0].ID)}}, "already"},
		{"/add", url.Values{"what": {"layer"}, "layer": {string(layers.ID) + " x"}, "after": {"other y"}}, "Choose a layer of the same build-up."},
		{"/add", url.Values{"what": {"dance"}}, "It does not say what is to be tried."},
	} {
		if w, _ := s.post(at+c.path, c.values); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), c.says) {
			t.Errorf("%s %v: %d, without %q", c.path, c.values, w.Code, c.says)
		}
	}
	s.mustPost(at+"/throw-away", url.Values{})
	if w, _ := s.get(at); w.Code != http.StatusNotFound {
		t.Errorf("it is there still: %d", w.Code)
	}
	wantWords(t, s, s.job+"/trials?said=thrown", "The trial was thrown away", "No trial is open")
	if w, _ := s.post(s.job+"/trials", url.Values{"title": {" "}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a trial without a name: %d", w.Code)
	}
}
