package api

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
)

// TestIssueAndWhatMoves sends a plan out, lets a delivery slip, and asks what moved.
func TestIssueAndWhatMoves(t *testing.T) {
	s := newSite(t).withExample()
	sent := s.text(http.StatusOK, "POST", garden+"/issues", `{"by":"ida","note":"As agreed."}`)
	var answer struct {
		Revision int64
		Letter   string
	}
	if err := json.Unmarshal([]byte(sent), &answer); err != nil || answer.Letter != "B" || answer.Revision != 2 {
		t.Fatalf("%s (%v)", sent, err)
	}
	issues := s.text(http.StatusOK, "GET", garden+"/issues", "")
	for _, word := range []string{`"letter":"B","on":"2026-04-13","as_of":"2026-04-13","by":"ida","note":"As agreed."`, `"window":"cladding.wall-north.clad"`} {
		if !strings.Contains(issues, word) {
			t.Errorf("no %s in %s", word, issues)
		}
	}
	plan := s.text(http.StatusOK, "GET", garden+"/issues/B", "")
	still := s.text(http.StatusOK, "GET", garden+"/moved", "")
	if !strings.Contains(still, `"since":"B"`) || !strings.Contains(still, `"windows":[]`) || !strings.Contains(still, `"calls":[]`) {
		t.Errorf("nothing has moved: %s", still)
	}
	s.text(http.StatusOK, "PATCH", garden+"/facts/windows.delivery", `{"expected":"2026-05-19"}`)
	moved := s.text(http.StatusOK, "GET", garden+"/moved?since=B", "")
	for _, word := range []string{`"delivery_was":"2026-05-05"`, `"who":"glazing-works"`, `"who":"windows"`, `the delivery of “Windows” moves from Tue 5 May to Tue 19 May`} {
		if !strings.Contains(moved, word) {
			t.Errorf("no %s in %s", word, moved)
		}
	}
	alerts := s.text(http.StatusOK, "GET", garden+"/alerts", "")
	if !strings.Contains(alerts, `"key":"promise broken: B, windows, opening-n1, opening-n1.set"`) {
		t.Errorf("no broken promise in %s", alerts)
	}
	if again := s.text(http.StatusOK, "GET", garden+"/issues/B", ""); again != plan {
		t.Error("the issued plan is another one now")
	}
	history := s.text(http.StatusOK, "GET", garden+"/history", "")
	if !strings.Contains(history, `"kind":"issue","key":"B"`) {
		t.Errorf("the issue is not in the history: %s", history)
	}
}

func TestIssuesThatAreRefused(t *testing.T) {
	s := newSite(t).withExample()
	for _, c := range []struct {
		status             int
		method, path, body string
		word               string
	}{
		{http.StatusUnprocessableEntity, "POST", "/issues", `{"by":""}`, "does not say who"},
		{http.StatusUnprocessableEntity, "POST", "/issues", `{"by":"stranger"}`, "nobody on the job"},
		{http.StatusUnprocessableEntity, "POST", "/issues", `{"by":"ida","on":"2026-04-01"}`, "issue A was sent out on 2026-04-08"},
		{http.StatusNotFound, "GET", "/issues/A", "", "came with a job file"},
		{http.StatusNotFound, "GET", "/issues/Q", "", "issue"},
		{http.StatusNotFound, "GET", "/moved", "", "came with a job file"},
		{http.StatusNotFound, "GET", "/moved?since=Q", "", "issue"},
	} {
		if got := s.text(c.status, c.method, garden+c.path, c.body); !strings.Contains(got, c.word) {
			t.Errorf("%s %s: no word of %q in %s", c.method, c.path, c.word, got)
		}
	}
	stale := s.send("POST", garden+"/issues", `{"by":"ida"}`, header("If-Match", `"7"`))
	if stale.status != http.StatusPreconditionFailed {
		t.Errorf("from another revision: %d %s", stale.status, stale.body)
	}
	// A whole file without what was sent out is refused.
	file := s.text(http.StatusOK, "GET", garden+"/file", "")
	cut, _, found := strings.Cut(file, "\nissues:")
	if !found {
		t.Fatalf("the file holds no issues: %s", file)
	}
	got := s.text(http.StatusUnprocessableEntity, "PUT", garden+"/file", cut, header("Content-Type", "application/yaml"))
	if !strings.Contains(got, "issue A has been sent out") {
		t.Error(got)
	}
}

// TestTheWordOfATrade: what a trade says by telephone is recorded in its name.
func TestTheWordOfATrade(t *testing.T) {
	s := newSite(t).withTwoFirms()
	const walls, cellar = "/api/jobs/two-firms/windows/crimson.hall.scarlet-walls", "/api/jobs/two-firms/windows/indigo.cobalt-cellar.cobalt-own"
	s.text(http.StatusOK, "POST", walls+"/confirm", `{"by":"scarlet-foreman","from":"2026-04-14","until":"2026-04-16"}`)
	s.text(http.StatusOK, "POST", cellar+"/cannot-come", `{"by":"hush-owner","from":"2026-04-20","to":"2026-04-21","note":"rang"}`)
	issues := s.text(http.StatusOK, "GET", "/api/jobs/two-firms/issues", "")
	for _, word := range []string{`"from":"2026-04-14","until":"2026-04-16","confirmed":"2026-04-13","by":"scarlet-foreman"`, `"by":"hush-owner","note":"rang"`} {
		if !strings.Contains(issues, word) {
			t.Errorf("no %s in %s", word, issues)
		}
	}
	for _, w := range into[WindowsBody](s.get("/api/jobs/two-firms/trades/indigo/windows")).Windows {
		if from, until := w.Days(); w.Place == "cobalt-cellar" {
			s.text(http.StatusForbidden, "POST", cellar+"/confirm", `{"by":"scarlet-foreman","from":"`+from.String()+`","until":"`+until.String()+`"}`)
		}
	}
	s.text(http.StatusUnprocessableEntity, "POST", walls+"/confirm", `{"by":"scarlet-foreman","from":"2026-04-01","until":"2026-04-02"}`)
	s.text(http.StatusNotFound, "POST", "/api/jobs/two-firms/windows/no.such.window/confirm", `{"by":"hush-owner","from":"2026-04-01","until":"2026-04-02"}`)
}

// TestIssueOnce: the same request again, after a lost answer, sends nothing out.
func TestIssueOnce(t *testing.T) {
	s := newSite(t).withExample()
	first := s.send("POST", garden+"/issues", `{"by":"ida"}`, header("Idempotency-Key", "k1"))
	second := s.send("POST", garden+"/issues", `{"by":"ida"}`, header("Idempotency-Key", "k1"))
	if first.status != http.StatusOK || string(first.body) != string(second.body) {
		t.Errorf("first %d %s, then %d %s", first.status, first.body, second.status, second.body)
	}
}

// text is the body of an answer of the wanted status.
func (s *site) text(status int, method, path, body string, withs ...with) string {
	s.t.Helper()
	return string(s.send(method, path, body, withs...).want(status).body)
}
