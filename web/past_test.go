package web

import (
	"net/http"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"

	"gaugerod/db/dbtest"
)

func TestMain(m *testing.M) { os.Exit(dbtest.Main(m)) }

// hiddenFields are those of the first form of a page that leads to an address.
func (s *site) hiddenFields(page, action string) url.Values {
	s.t.Helper()
	w, _ := s.get(page)
	_, form, ok := strings.Cut(w.Body.String(), `action="`+s.job+action+`"`)
	if !ok {
		s.t.Fatalf("%s has no form to %s", page, action)
	}
	form, _, _ = strings.Cut(form, "</form>")
	fields := url.Values{}
	for _, m := range regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)">`).FindAllStringSubmatch(form, -1) {
		fields.Set(m[1], m[2])
	}
	if fields.Get("request") == "" || fields.Get("seen") == "" {
		s.t.Fatalf("%s: the form to %s has no name of its own: %v", page, action, fields)
	}
	return fields
}

const step = "/steps/frame-seen"

func TestAFormSentTwiceCountsOnce(t *testing.T) {
	s := newStoredSite(t, garden)
	f := s.hiddenFields(s.job+step, step+"/book")
	f.Set("day", "2026-04-20")
	for range 2 {
		if w, _ := s.post(s.job+step+"/book", f); w.Code != http.StatusSeeOther {
			t.Fatalf("%d: %s", w.Code, w.Body)
		}
	}
	if w, _ := s.get(s.job + "/history"); !strings.Contains(w.Body.String(), "revision 2,") || strings.Contains(w.Body.String(), "revision 3,") {
		t.Error("not one revision more")
	}
}

// TestTwoPeopleAtOneForm: who comes second sees what the first one did, keeps what
// was typed, and counts when sending it again. Other things may change meanwhile.
func TestTwoPeopleAtOneForm(t *testing.T) {
	s := newStoredSite(t, garden)
	form := func(day string) url.Values {
		f := s.hiddenFields(s.job+step, step+"/book")
		f.Set("day", day)
		return f
	}
	first, second := form("2026-04-20"), form("2026-04-22")
	other := s.hiddenFields(s.job+"/steps/frame", "/steps/frame/progress")
	other.Set("started", "2026-04-10")

	if w, _ := s.post(s.job+step+"/book", first); w.Code != http.StatusSeeOther {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	w, _ := s.post(s.job+step+"/book", second)
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	for _, want := range []string{"has changed this meanwhile, in revision 2", "2026-04-20", `value="2026-04-22"`, "send it again"} {
		if !strings.Contains(w.Body.String(), want) {
			t.Errorf("no %q on the page", want)
		}
	}
	if w, _ := s.post(s.job+"/steps/frame/progress", other); w.Code != http.StatusSeeOther {
		t.Errorf("another step was held up: %d: %s", w.Code, w.Body)
	}
	if w, _ := s.post(s.job+step+"/book", form("2026-04-22")); w.Code != http.StatusSeeOther {
		t.Errorf("sent again it does not count: %d: %s", w.Code, w.Body)
	}
}

func TestUndoOnTheHistoryPage(t *testing.T) {
	s := newStoredSite(t, garden)
	for _, day := range []string{"2026-04-20", "2026-04-22"} {
		f := s.hiddenFields(s.job+step, step+"/book")
		f.Set("day", day)
		if w, _ := s.post(s.job+step+"/book", f); w.Code != http.StatusSeeOther {
			t.Fatalf("%d: %s", w.Code, w.Body)
		}
	}
	undo := func(revision string) (int, string) {
		w, _ := s.post(s.job+"/undo", url.Values{"revision": {revision}})
		return w.Code, w.Body.String()
	}
	if code, page := undo("2"); code != http.StatusUnprocessableEntity || !strings.Contains(page, "Undo the later changes first") {
		t.Errorf("%d: %s", code, page)
	}
	f := s.hiddenFields(s.job+"/history", "/undo")
	if f.Get("revision") != "3" {
		t.Errorf("the newest form undoes %q", f.Get("revision"))
	}
	w, _ := s.post(s.job+"/undo", f)
	if to := w.Header().Get("Location"); w.Code != http.StatusSeeOther || to != s.job+"/history?said=undone" {
		t.Fatalf("%d to %q", w.Code, to)
	}
	w, _ = s.get(s.job + "/history?said=undone")
	for _, want := range []string{"The change was undone.", `It undid <a href="#r3">revision 3</a>`, `undone by <a href="#r4">revision 4</a>`} {
		if !strings.Contains(w.Body.String(), want) {
			t.Errorf("no %q on the page", want)
		}
	}
	if code, page := undo("3"); code != http.StatusUnprocessableEntity || !strings.Contains(page, "has been undone already") {
		t.Errorf("%d: %s", code, page)
	}
	for _, bad := range []string{"", "x", "-1"} {
		if code, _ := undo(bad); code != http.StatusBadRequest {
			t.Errorf("undo %q: %d", bad, code)
		}
	}
	file, _ := s.get(s.job + "/revisions/3/file")
	if d := file.Header().Get("Content-Disposition"); d != `attachment; filename=garden-studio-3.job.yaml` || !strings.Contains(file.Body.String(), "2026-04-22") {
		t.Errorf("%q: %s", d, file.Body)
	}
	for path, want := range map[string]int{"/revisions/99/file": 404, "/revisions/x/file": 404, "/history?before=x": 400, "/history?before=3": 200} {
		if w, _ := s.get(s.job + path); w.Code != want {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
	if w, _ := s.get(s.job + "/history?before=3"); strings.Contains(w.Body.String(), "revision 3,") || !strings.Contains(w.Body.String(), "revision 2,") {
		t.Error("before=3 shows other changes")
	}
}

// TestLongHistoriesComeInParts: a change is shown whole or on the next page, and every
// change is on some page.
func TestLongHistoriesComeInParts(t *testing.T) {
	lines := historyOfLength(3, historyLines-10, 20, 5)
	shown, more := whole(lines[:historyLines+1])
	if !more || shown[len(shown)-1].Revision != 3 {
		t.Errorf("%d lines to revision %d", len(shown), shown[len(shown)-1].Revision)
	}
	shown, more = whole(historyOfLength(historyLines+50, 2)[:historyLines+1])
	if !more || len(shown) != historyLines {
		t.Errorf("one long change: %d lines, more %v", len(shown), more)
	}
	if shown, more = whole(historyOfLength(2, 1)); more || len(shown) != 3 {
		t.Errorf("%d lines, more %v", len(shown), more)
	}
}
