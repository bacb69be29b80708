package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// TestIssueAndRing issues the demo's plan from the page, lets the windows slip by
// nine days, and reads whom to ring.
func TestIssueAndRing(t *testing.T) {
	s := newStoredSite(t, demo)
	page := s.job + "/issued"
	wantWords(t, s, page, "No plan has been issued yet", "Issue as A")
	nobody := s.hiddenFields(page, "/issued")
	if w, _ := s.post(page, nobody); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "It does not say who") {
		t.Fatalf("by nobody: %d %s", w.Code, w.Body)
	}
	early, again := s.hiddenFields(page, "/issued"), s.hiddenFields(page, "/issued")
	early.Set("by", "owner")
	early.Set("note", "Agreed on site")
	for range 2 { // sent twice, issued once
		w, _ := s.post(page, early)
		if w.Code != http.StatusSeeOther || w.Header().Get("Location") != page+"?said=issued&since=A" {
			t.Fatalf("%d to %s: %s", w.Code, w.Header().Get("Location"), w.Body)
		}
	}
	again.Set("by", "owner")
	if w, _ := s.post(page, again); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "The job has changed since this page was shown") {
		t.Errorf("from an older page: %d %s", w.Code, w.Body)
	}
	wantWords(t, s, page+"?said=issued&since=A", "The plan is issued.", "Nothing has moved since.", "Agreed on site", "Issue as B")

	slip := s.hiddenFields(s.job+"/steps/windows.delivery", "/steps/windows.delivery/expect")
	slip.Set("day", "2026-07-27")
	slip.Set("by", "owner")
	if w, _ := s.post(s.job+"/steps/windows.delivery/expect", slip); w.Code != http.StatusSeeOther {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	wantWords(t, s, page, "Whom to ring", "what has moved since issue A", "Window setters", "The window works", "the delivery of “Seven windows” moves from", "Windows of access", "Hold points")
	wantWords(t, s, s.job+"/alerts", "promise broken", "was promised")
	if w, _ := s.get(page + "?since=Q"); w.Code != http.StatusNotFound {
		t.Errorf("an unknown letter: %d", w.Code)
	}
}

// TestIssueThatCameWithAFile: the file tells of an issue whose plan is not here.
func TestIssueThatCameWithAFile(t *testing.T) {
	s := newSite(t, garden)
	wantWords(t, s, s.job+"/issued", "That issue came with a job file", "Issue as B", "First agreed plan", "wo windows promised, one window confirmed", "cannot come to Opening N1", "Another job that week")
	if w, _ := s.post(s.job+"/issued", url.Values{"by": {"ida"}, "note": {strings.Repeat("x", 5000)}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "That is too long") {
		t.Errorf("%d: %s", w.Code, w.Body)
	}
}

// TestWhatAFirmSaysByTelephone is recorded on the trade's page by who rang.
func TestWhatAFirmSaysByTelephone(t *testing.T) {
	s := newStoredSite(t, garden)
	const said = "/trades/windows/said"
	page := s.job + "/trades/windows"
	w, _ := s.get(page)
	wantWords(t, s, page, "Promised: ", "issue A, confirmed ", "What they said")
	window := regexp.MustCompile(`value="(windows\.wall-north\.tape [0-9 -]+)"`).FindStringSubmatch(w.Body.String())
	if window == nil {
		t.Fatal(w.Body)
	}
	say := func(status int, word string, fields ...string) {
		t.Helper()
		f := s.hiddenFields(page, said)
		for k := 0; k < len(fields); k += 2 {
			f.Set(fields[k], fields[k+1])
		}
		w, _ := s.post(s.job+said, f)
		if w.Code != status || !strings.Contains(w.Body.String()+w.Header().Get("Location"), word) {
			t.Errorf("%v: %d, no word of %q in %s", fields, w.Code, word, w.Body)
		}
	}
	say(http.StatusUnprocessableEntity, "It does not say who", "what", "come", "window", window[1])
	say(http.StatusSeeOther, page+"?said=come", "what", "come", "window", window[1], "by", "setter")
	wantWords(t, s, page+"?said=come", "Their word is recorded.", "Promised: ")
	say(http.StatusSeeOther, page+"?said=cannot", "what", "cannot", "window", window[1], "by", "kim", "from", "2026-04-28", "note", "A funeral")
	wantWords(t, s, page+"?said=cannot", "It is recorded that they cannot come", "A funeral")
	say(http.StatusUnprocessableEntity, "end before they begin", "what", "cannot", "window", window[1], "by", "kim", "from", "2026-04-28", "to", "2026-04-27")
	say(http.StatusUnprocessableEntity, "Give the day", "what", "cannot", "window", window[1], "by", "kim")
	say(http.StatusUnprocessableEntity, "Choose the window", "what", "come", "window", "windows.wall-north.tape", "by", "kim")
	say(http.StatusUnprocessableEntity, "Say whether they come", "window", window[1], "by", "kim")
	say(http.StatusNotFound, "", "what", "come", "window", "no.such.window 2026-04-28 2026-04-28", "by", "kim")
}

func wantWords(t *testing.T, s *site, path string, words ...string) {
	t.Helper()
	w, _ := s.get(path)
	if w.Code != http.StatusOK {
		t.Fatalf("%s: %d %s", path, w.Code, w.Body)
	}
	for _, word := range words {
		if !strings.Contains(w.Body.String(), word) {
			t.Errorf("%s has no word of %q", path, word)
		}
	}
}
