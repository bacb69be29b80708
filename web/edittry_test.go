package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/trial"
)

// TestEveryFormCanBeTried sends the form of one thing of each kind to a trial: the job
// stays, the trial has it in words, and the form of the trial shows it as it has it.
func TestEveryFormCanBeTried(t *testing.T) {
	s := newSite(t, garden)
	for _, c := range []struct{ at, field, value, says string }{
		{"/edit/tasks/clad", "takes", "9 days", "takes 9 days instead of"},
		{"/edit/trades/cladding", "crews", "4", "crews 4"},
		{"/edit/places/house", "room", "7", "room 7"},
		{"/edit/people/kim", "name", "Kim Other", "name Kim Other instead of"},
		{"/edit/orders/windows", "unload", "3 hours", "unload 3 hours"},
		{"/design/holds/frame-seen", "note", "with a lamp", "note with a lamp"},
		{"/design/build-ups/wall-skin", "outward", "in to out", "outward in to out instead of inside to outside"},
		{"/edit/typicals/openings/tasks/set", "takes", "7 hours", "of the typical"},
		{"/edit/dues/closed-in", "on", "2026-12-01", "on Tue 1 Dec 2026"},
		{"/edit/site/itself", "start", "2026-03-03", "The job: start Tue 3 Mar 2026 instead of"},
	} {
		t.Run(c.at, func(t *testing.T) {
			before, _ := jobfile.Write(s.sheet().Job)
			w, doc := s.get(s.job + c.at)
			if w.Code != http.StatusOK {
				t.Fatalf("%d", w.Code)
			}
			sent := filled(doc)
			sent.Set(c.field, c.value)
			sent.Set("do", "try")
			sent.Del("request")
			w, _ = s.post(s.job+c.at, sent)
			at, ok := strings.CutSuffix(w.Header().Get("Location"), "#effect")
			if w.Code != http.StatusSeeOther || !ok {
				t.Fatalf("%d: %s", w.Code, w.Body)
			}
			wantWords(t, s, at, c.says)
			if after, _ := jobfile.Write(s.sheet().Job); string(after) != string(before) {
				t.Error("the job has changed")
			}
			_, doc = s.get(at + strings.Replace(c.at, "/design/", "/edit/", 1))
			if got := filled(doc).Get(c.field); got != c.value {
				t.Errorf("the trial shows %q", got)
			}
			again := filled(doc) // nothing is changed by it
			again.Del("request")
			if w, _ := s.post(at+strings.Replace(c.at, "/design/", "/edit/", 1), again); w.Code != http.StatusSeeOther && c.field != "start" {
				t.Errorf("sent again: %d: %s", w.Code, w.Body)
			}
			s.mustPost(at+"/throw-away", url.Values{})
		})
	}
}

// TestAThingIsTriedWithItsFaultsAtTheFields, and a trial is begun only where it goes.
func TestAThingIsTriedWithItsFaultsAtTheFields(t *testing.T) {
	s := newSite(t, garden)
	_, doc := s.get(s.job + "/edit/tasks/clad")
	sent := filled(doc)
	sent.Set("do", "try")
	sent.Set("takes", "soon")
	w, doc := s.post(s.job+"/edit/tasks/clad", sent)
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(says(doc, "main .problem"), "length of time") || len(s.memory.tried) != 0 {
		t.Fatalf("%d, %q, %d trials", w.Code, says(doc, "main .problem"), len(s.memory.tried))
	}
	sent.Set("takes", "9 days")
	sent.Set("was", "feedbeef")
	if w, doc = s.post(s.job+"/edit/tasks/clad", sent); w.Code != http.StatusUnprocessableEntity || !strings.Contains(says(doc, "#wrong"), "has been changed since") {
		t.Errorf("%d, %q", w.Code, says(doc, "#wrong"))
	}
	// What others need is not taken out; what nobody needs is, and a new thing comes.
	if w, doc = s.post(s.job+"/edit/trades/cladding", url.Values{"do": {"try-remove"}, "was": {attrOf(t, s, "/edit/trades/cladding", "was")}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(says(doc, "#wrong"), "cladding") {
		t.Errorf("%d, %q", w.Code, says(doc, "#wrong"))
	}
	s.mustPost(s.job+"/edit/dues/closed-in", url.Values{"do": {"try-remove"}, "was": {attrOf(t, s, "/edit/dues/closed-in", "was")}})
	s.mustPost(s.job+"/trials/1/edit/tasks/+", url.Values{"do": {"keep"}, "title": {"Sweep the site"}, "takes": {"1 day"}, "trades": {"cladding"}})
	wantWords(t, s, s.job+"/trials/1", "is taken out", "A new task “Sweep the site”")
	wantWords(t, s, s.job+"/trials/1/edit/tasks", "Sweep the site", "Only tried:")
	wantWords(t, s, s.job+"/trials/1/edit", "Only tried:", "Due days")
	if w, _ := s.get(s.job + "/trials/1/edit/tasks/nothing"); w.Code != http.StatusNotFound {
		t.Errorf("what is not there: %d", w.Code)
	}
	if w, _ := s.get(s.job + "/edit/tasks/sweep-the-site"); w.Code != http.StatusNotFound {
		t.Errorf("the job has it: %d", w.Code)
	}
	// Adopted, all of it is one change.
	s.mustPost(s.job+"/trials/1/adopt", s.hiddenFields(s.job+"/trials/1", "/trials/1/adopt"))
	if s.memory.revision != 2 || s.sheet().Job.Tasks[len(s.sheet().Job.Tasks)-1].Title != "Sweep the site" {
		t.Errorf("revision %d", s.memory.revision)
	}
	// A trial that has ended has no job to change.
	if w, _ := s.get(s.job + "/trials/1/edit/tasks"); w.Code != http.StatusSeeOther || w.Header().Get("Location") != s.job+"/trials/1" {
		t.Errorf("%d to %q", w.Code, w.Header().Get("Location"))
	}
}

// attrOf is the hidden field of the form of a thing.
func attrOf(t *testing.T, s *site, at, field string) string {
	t.Helper()
	_, doc := s.get(s.job + at)
	return filled(doc).Get(field)
}

// TestWhoAdoptsWhat: a site lead tries whatever they like, and is told who adopts it.
func TestWhoAdoptsWhat(t *testing.T) {
	s := newSite(t, garden)
	more := trial.Op{Put: &trial.Put{Path: []string{"tasks", "sweep"}, Text: "{title: Sweep, takes: 1 day}"}}
	if _, err := s.memory.MakeTrial(t.Context(), "garden-studio", "More", []trial.Op{more}, db.By("ida")); err != nil {
		t.Fatal(err)
	}
	for role, may := range map[scheduler.Role]bool{scheduler.Owner: true, scheduler.Designer: false, scheduler.SiteLead: false} {
		as := func(r *http.Request) *http.Request {
			return r.WithContext(signin.With(r.Context(), signin.Visitor{Name: "kim", Session: uuid.New(), Account: uuid.New(), Role: role}))
		}
		w, _ := s.ask(as(httptest.NewRequest(http.MethodGet, s.job+"/trials/1", nil)))
		if has := strings.Contains(w.Body.String(), `/trials/1/adopt"`); has != may || may == strings.Contains(w.Body.String(), "Only the owner of the job may do that.") {
			t.Errorf("%s: a form to adopt it: %v", role, has)
		}
		if !may {
			r := httptest.NewRequest(http.MethodPost, s.job+"/trials/1/adopt", strings.NewReader("version=1"))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			if w, _ := s.ask(as(r)); w.Code != http.StatusForbidden || s.memory.revision != 1 {
				t.Errorf("%s adopts it: %d, revision %d", role, w.Code, s.memory.revision)
			}
		}
	}
}
