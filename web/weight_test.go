package web

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
)

// maxWeight is the most that any page may weigh, in bytes, before the line packs it.
const maxWeight = 100_000

func TestNoPageIsHeavy(t *testing.T) {
	s := newSite(t, demo)
	for name, path := range pagesToLookAt(s) {
		w, _ := s.get(path)
		if w.Code != http.StatusOK {
			t.Errorf("%s: status %d", name, w.Code)
		}
		if w.Body.Len() > maxWeight {
			t.Errorf("%s weighs %d bytes, more than %d", name, w.Body.Len(), maxWeight)
		}
		t.Logf("%-8s %6d bytes", name, w.Body.Len())
	}
	for _, role := range everyRole {
		for route, path := range s.round(role) {
			w := httptest.NewRecorder()
			s.askedIn(role).ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
			if w.Body.Len() > maxWeight {
				t.Errorf("%s, read as %s, weighs %d bytes, more than %d", route, role, w.Body.Len(), maxWeight)
			}
		}
	}
}

// BenchmarkRound reads a page of each kind and says how long the middle one and the
// slowest kind take; a page should take less than 30 ms.
func BenchmarkRound(b *testing.B) {
	s := newSite(b, demo)
	s.sheet()
	var slowest float64
	for _, role := range []scheduler.Role{scheduler.Owner, scheduler.TradeRole} {
		for route, path := range s.round(role) {
			b.Run(string(role)+route, func(b *testing.B) {
				var took []time.Duration
				for b.Loop() {
					begun := time.Now()
					s.askedIn(role).ServeHTTP(&thrown{http.Header{}}, httptest.NewRequest(http.MethodGet, path, nil))
					took = append(took, time.Since(begun))
				}
				slices.Sort(took)
				middle := float64(took[len(took)/2].Microseconds()) / 1000
				slowest = max(slowest, middle)
				b.ReportMetric(middle, "median-ms")
				b.ReportMetric(slowest, "slowest-median-ms")
			})
		}
	}
}

// A job with very many alerts shows them in parts, all of them once, and the one that was
// chosen wherever it is.
func TestManyAlertsAreNotHeavy(t *testing.T) {
	s := randomSite(t, 10, 250)
	all, seen := len(s.sheet().Plan.Alerts), 0
	if all <= alertsAtOnce {
		t.Fatalf("there are only %d alerts", all)
	}
	var choose string
	for path := s.job + "/alerts"; path != ""; {
		w, doc := s.get(path)
		if w.Code != http.StatusOK || w.Body.Len() > maxWeight {
			t.Errorf("%s: status %d, %d bytes, want at most %d", path, w.Code, w.Body.Len(), maxWeight)
		}
		links := find(doc, ".alert a.choose")
		if seen += len(links); len(links) > 0 {
			choose = attr(links[len(links)-1], "href")
		}
		if seen > alertsAtOnce && len(find(doc, "a.before")) != 1 {
			t.Errorf("%s leads to none before", path)
		}
		path = ""
		if after := find(doc, "a.after"); len(after) > 0 {
			path = attr(after[0], "href")
		}
	}
	if seen != all {
		t.Errorf("%d of %d alerts are shown", seen, all)
	}
	if _, doc := s.get(strings.TrimSuffix(choose, "#chosen")); len(find(doc, "#chosen form")) != 1 {
		t.Errorf("the last one cannot be chosen: %s", choose)
	}
	for _, from := range []string{"-5", "100000", "none"} {
		if _, doc := s.get(s.job + "/alerts?from=" + from); len(find(doc, ".alert a.choose")) != alertsAtOnce || len(find(doc, "a.before")) != 0 {
			t.Errorf("from %s it does not begin at the first", from)
		}
	}
}
