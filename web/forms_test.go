package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"gaugerod/scheduler"
)

// garden is the small job that has every key.
const garden = "../testdata/every-feature.job.yaml"

// TestFormsRecordAndThePlanFollows sends each form as it should be: the answer
// leads back to a page that says what was recorded, and the plan has changed.
func TestFormsRecordAndThePlanFollows(t *testing.T) {
	for _, c := range []struct {
		name, path string
		fields     url.Values
		said       string
		kept       func(*scheduler.Job, *scheduler.Plan) bool
	}{
		{
			"release", "/steps/frame-seen/release",
			url.Values{"day": {"2026-04-13"}, "time": {"09:00"}, "by": {"inspector"}, "note": {"Seen"}, "evidence": {"report 4"}},
			"Released.",
			func(j *scheduler.Job, p *scheduler.Plan) bool {
				f := j.FindFact("frame-seen")
				return f.Released.String() == "2026-04-13 09:00" && f.Evidence == "report 4" && p.FindStep("frame-seen").State == scheduler.Complete
			},
		},
		{
			"refuse", "/steps/frame-seen/refuse",
			url.Values{"day": {"2026-04-13"}, "by": {"inspector"}, "note": {"Two nails missing"}},
			"Recorded as refused.",
			func(_ *scheduler.Job, p *scheduler.Plan) bool {
				return p.FindStep("frame-seen").State == scheduler.Refused
			},
		},
		{
			"a measure in tolerance", "/steps/sill-height/release",
			url.Values{"day": {"2026-04-13"}, "by": {"kim"}, "measured": {"903"}},
			"Released.",
			func(j *scheduler.Job, _ *scheduler.Plan) bool { return *j.FindFact("sill-height").Measured == 903 },
		},
		{
			"book", "/steps/windows-seen/book",
			url.Values{"day": {"2026-06-05"}, "time": {"10:30"}, "by": {"kim"}},
			"Booked.",
			func(j *scheduler.Job, _ *scheduler.Plan) bool {
				return j.FindFact("windows-seen").Booked.String() == "2026-06-05 10:30"
			},
		},
		{
			"expect", "/steps/windows.delivery/expect",
			url.Values{"day": {"2026-07-20"}, "by": {"kim"}, "note": {"The works rang"}},
			"The latest word is recorded.",
			func(_ *scheduler.Job, p *scheduler.Plan) bool {
				return p.FindStep("windows.delivery").Start.Format("2006-01-02") == "2026-07-21" // the garden side works on Tuesdays and Fridays
			},
		},
		{
			"part done", "/steps/frame/progress",
			url.Values{"started": {"2026-04-07"}, "remaining": {"1 day"}, "by": {"kim"}},
			"Progress recorded.",
			func(j *scheduler.Job, _ *scheduler.Plan) bool { return j.FindFact("frame").Remaining.Amount == 1 },
		},
		{
			"done", "/steps/frame/progress",
			url.Values{"done": {"2026-04-13"}, "done-time": {"16:00"}},
			"Progress recorded.",
			func(_ *scheduler.Job, p *scheduler.Plan) bool {
				return p.FindStep("frame").State == scheduler.Complete
			},
		},
		{
			"take back", "/steps/frame/take-back",
			url.Values{},
			"The record was taken back.",
			func(j *scheduler.Job, p *scheduler.Plan) bool {
				return j.FindFact("frame") == nil && p.FindStep("frame").State != scheduler.Underway
			},
		},
		{
			"move on", "/as-of",
			url.Values{"day": {"2026-04-20"}},
			"The job is planned from another day now.",
			func(_ *scheduler.Job, p *scheduler.Plan) bool { return p.AsOf.Format("2006-01-02") == "2026-04-20" },
		},
		{
			"move with today", "/as-of",
			url.Values{"today": {"yes"}},
			"The job is planned from another day now.",
			func(j *scheduler.Job, p *scheduler.Plan) bool {
				return j.AsOf == nil && p.AsOf.Format("2006-01-02") == readAt.Format("2006-01-02")
			},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSite(t, garden)
			w, _ := s.post(s.job+c.path, c.fields)
			if w.Code != http.StatusSeeOther {
				t.Fatalf("status %d: %s", w.Code, w.Body)
			}
			w, doc := s.get(w.Header().Get("Location"))
			if w.Code != http.StatusOK || !strings.HasPrefix(says(doc, "main .said"), c.said) {
				t.Errorf("status %d, the page says %q", w.Code, says(doc, "main .said"))
			}
			if !strings.Contains(says(doc, "main .said"), "The finish") {
				t.Errorf("the page does not say what became of the finish: %q", says(doc, "main .said"))
			}
			sheet := s.sheet()
			if sheet.Revision != 2 || !c.kept(sheet.Job, sheet.Plan) {
				t.Errorf("revision %d, and the record is %+v", sheet.Revision, sheet.Job.Facts)
			}
			if _, doc := s.get(s.job + "/history"); len(find(doc, "main .change")) != 1 {
				t.Error("the history has no line of it")
			}
		})
	}
}

// TestFaultyFormsKeepNothing sends each form with a mistake: the page comes back
// with the problem at its field, what was typed still stands, nothing is kept.
func TestFaultyFormsKeepNothing(t *testing.T) {
	for _, c := range []struct {
		name, path string
		fields     url.Values
		at, words  string // where the problem stands, and a word of it
	}{
		{"release without a day", "/steps/frame-seen/release", url.Values{"by": {"inspector"}}, "#release", "Give a day"},
		{"release on no day at all", "/steps/frame-seen/release", url.Values{"day": {"2026-02-30"}, "by": {"inspector"}}, "#release", "2026-02-30"},
		{"release at no time at all", "/steps/frame-seen/release", url.Values{"day": {"2026-04-13"}, "time": {"25:00"}, "by": {"inspector"}}, "#release", "25:00"},
		{"release after as of", "/steps/frame-seen/release", url.Values{"day": {"2026-04-14"}, "by": {"inspector"}}, "#release", "as-of"},
		{"release by nobody", "/steps/frame-seen/release", url.Values{"day": {"2026-04-13"}}, "#release", "who"},
		{"release by another", "/steps/frame-seen/release", url.Values{"day": {"2026-04-13"}, "by": {"kim"}}, "#release", "inspector"},
		{"release by a stranger", "/steps/frame-seen/release", url.Values{"day": {"2026-04-13"}, "by": {"zoe"}}, "#release", "zoe"},
		{"a measure without its figure", "/steps/sill-height/release", url.Values{"day": {"2026-04-13"}, "by": {"kim"}}, "#release", "mm"},
		{"a measure in words", "/steps/sill-height/release", url.Values{"day": {"2026-04-13"}, "by": {"kim"}, "measured": {"about 900"}}, "#release", "millimetres"},
		{"a measure out of tolerance", "/steps/sill-height/release", url.Values{"day": {"2026-04-13"}, "by": {"kim"}, "measured": {"950"}}, "#release", "50 mm off"},
		{"refuse without a reason", "/steps/frame-seen/refuse", url.Values{"day": {"2026-04-13"}, "by": {"inspector"}}, "#refuse", "put right"},
		{"book without a day", "/steps/windows-seen/book", url.Values{"time": {"10:00"}}, "#book", "Give the day"},
		{"expect without a day", "/steps/windows.delivery/expect", url.Values{}, "#expect", "Give a day"},
		{"done before it was started", "/steps/frame/progress", url.Values{"started": {"2026-04-10"}, "done": {"2026-04-08"}}, "#progress", "before its start"},
		{"done after as of", "/steps/frame/progress", url.Values{"done": {"2026-04-20"}}, "#progress", "as-of"},
		{"left in no unit", "/steps/frame/progress", url.Values{"started": {"2026-04-07"}, "remaining": {"3"}}, "#progress", "length of time"},
		{"left without a start", "/steps/clad/progress", url.Values{"remaining": {"3 days"}}, "#progress", "start"},
		{"nothing said", "/steps/clad/progress", url.Values{}, "#progress", "says nothing"},
		{"a note as long as a book", "/steps/frame/progress", url.Values{"started": {"2026-04-07"}, "note": {strings.Repeat("x", maxField+1)}}, "#progress", "too long"},
		{"as of no day", "/as-of", url.Values{"day": {"soon"}}, "#move-on", "soon"},
		{"as of before what is recorded", "/as-of", url.Values{"day": {"2026-03-10"}}, "#move-on", "recorded"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSite(t, garden)
			before := s.sheet()
			w, doc := s.post(s.job+c.path, c.fields)
			if w.Code != http.StatusUnprocessableEntity {
				t.Fatalf("status %d: %s", w.Code, w.Header().Get("Location"))
			}
			found := false
			for _, n := range find(doc, "main "+c.at+" .problem") {
				found = found || strings.Contains(text(n), c.words)
			}
			if !found {
				t.Errorf("no problem at %s says %q: %q", c.at, c.words, says(doc, "main "+c.at+" .problem"))
			}
			if note := c.fields.Get("note"); note != "" && len(note) <= maxField && len(find(doc, "[value="+note+"]")) == 0 {
				t.Error("what was typed is gone")
			}
			if s.sheet() != before {
				t.Error("something was kept")
			}
		})
	}
}

func TestAlertsAreSetAsideAndBroughtBack(t *testing.T) {
	s := newSite(t, garden)
	_, doc := s.get(s.job + "/alerts")
	alerts := find(doc, "section .alert[data-key]")
	if len(alerts) == 0 {
		t.Fatal("the job raises no alert")
	}
	key := attr(alerts[0], "data-key")

	if n := len(find(doc, ".alert form select")); n != 0 {
		t.Errorf("%d forms before an alert is chosen", n)
	}
	for _, query := range []string{"", "?as-of=2026-04-20"} {
		_, doc = s.get(s.job + "/alerts" + query)
		links := find(doc, ".alert a.choose")
		if len(links) == 0 {
			t.Fatal("no alert can be chosen")
		}
		_, doc = s.get(strings.TrimSuffix(attr(links[0], "href"), "#chosen"))
		key := attr(find(doc, "#chosen")[0], "data-key")
		field := find(doc, "#chosen form input[name=alert]")
		if len(field) != 1 || attr(field[0], "value") != key || len(find(doc, ".alert form select")) != 1 {
			t.Errorf("chosen with %q, the form is not there once, for the alert %q", query, key)
		}
		if all := len(find(doc, ".alert a.choose")); all != len(links)-1 {
			t.Errorf("%d other alerts to choose, want %d", all, len(links)-1)
		}
	}

	w, doc := s.post(s.job+"/alerts/aside", url.Values{"alert": {key}, "by": {"kim"}})
	if w.Code != http.StatusUnprocessableEntity || len(find(doc, "details[open] .problem")) != 1 {
		t.Errorf("setting aside without a reason: status %d", w.Code)
	}
	w, _ = s.post(s.job+"/alerts/aside", url.Values{"alert": {key}, "by": {"kim"}, "reason": {"Agreed on site"}})
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d", w.Code)
	}
	aside := func() bool {
		_, doc := s.get(s.job + "/alerts")
		for _, n := range find(doc, ".alert[data-key]") {
			if attr(n, "data-key") == key {
				return strings.Contains(text(n), "Set aside: Agreed on site")
			}
		}
		t.Fatalf("the alert %q is gone from the page", key)
		return false
	}
	if !aside() {
		t.Error("the alert does not say why it was set aside")
	}
	if w, _ = s.post(s.job+"/alerts/back", url.Values{"alert": {key}}); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d", w.Code)
	}
	if aside() {
		t.Error("the alert is still set aside")
	}
}

func TestWhatIsNotThere(t *testing.T) {
	s := newSite(t, garden)
	for path, status := range map[string]int{
		"/jobs/none": http.StatusNotFound, s.job + "/steps/none": http.StatusNotFound, s.job + "/trades/none": http.StatusNotFound,
		"/static/none.css": http.StatusNotFound, "/static/../site_test.go": http.StatusNotFound, "/static/none": http.StatusNotFound,
		s.job + "?as-of=2026-13-01": http.StatusBadRequest, s.job + "?week=x": http.StatusBadRequest,
		s.job + "/places?weeks=5": http.StatusBadRequest, s.job + "/places?weeks=x": http.StatusBadRequest, s.job + "/places?from=x": http.StatusBadRequest,
		s.job + "?as-of=2026-05-04": http.StatusOK, "/static/mark.svg": http.StatusOK,
	} {
		w, doc := s.get(path)
		if w.Code != status {
			t.Errorf("%s: status %d, not %d", path, w.Code, status)
		}
		if status >= 400 && says(doc, "h1") == "" {
			t.Errorf("%s: an error without words", path)
		}
	}
}

// TestAnotherDayIsKeptInEveryLink looks at the job as of another day: no link of
// the job may drop it.
func TestAnotherDayIsKeptInEveryLink(t *testing.T) {
	s := newSite(t, garden)
	for _, path := range []string{"", "/places", "/trades", "/steps/clad"} {
		_, doc := s.get(s.job + path + "?as-of=2026-05-04")
		if !strings.Contains(says(doc, ".standing"), "As of Mon 4 May") {
			t.Fatalf("%s: %s", path, says(doc, ".standing"))
		}
		for _, n := range find(doc, "a[href]") {
			href := attr(n, "href")
			if (strings.HasPrefix(href, s.job) || strings.HasPrefix(href, "steps/")) && !strings.Contains(href, "as-of=2026-05-04") {
				t.Errorf("%s: the link to %s drops the day", path, href)
			}
		}
	}
}
