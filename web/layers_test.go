package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/google/uuid"
	"golang.org/x/net/html"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// record has the site's job go on with records, whatever the rules of the forms.
func (s *site) record(facts ...scheduler.Fact) {
	s.t.Helper()
	s.memory.become(func(j *scheduler.Job) { j.Facts = append(j.Facts, facts...) })
}

func when(day string) *worktime.When {
	d, err := worktime.ParseDate(day)
	if err != nil {
		panic(err)
	}
	return &worktime.When{Day: d}
}

func done(step scheduler.ID, from, until string) scheduler.Fact {
	return scheduler.Fact{Step: step, Started: when(from), Done: when(until), By: "lead"}
}

// wallsUnderWay is the demo with its walls at different layers: the north wall behind,
// the east wall covered before the leak test was released.
func wallsUnderWay(t *testing.T) *site {
	s := newSite(t, demo)
	day := *when("2026-07-20")
	s.memory.become(func(j *scheduler.Job) { j.AsOf = &day.Day; j.Facts = nil })
	facts := []scheduler.Fact{done("upper-walls", "2026-06-08", "2026-06-16"), {Step: "nailing-seen", Released: when("2026-06-17"), By: "inspector"}, {Step: "scaffold-tagged", Released: when("2026-06-17"), By: "lead"}}
	for _, wall := range []scheduler.ID{"wall-east", "wall-south", "wall-west"} {
		facts = append(facts, done(wall+".membrane", "2026-06-18", "2026-06-22"), done(wall+".fibre-1", "2026-07-01", "2026-07-03"))
	}
	s.record(facts...)
	return s
}

func section(t *testing.T, doc *html.Node, id string) *html.Node {
	t.Helper()
	all := find(doc, "section#"+id)
	if len(all) != 1 {
		t.Fatalf("%d sections are called %s", len(all), id)
	}
	return all[0]
}

func TestLayersTellTheOddPlaceOut(t *testing.T) {
	s := wallsUnderWay(t)
	w, doc := s.get(s.job + "/layers")
	if w.Code != http.StatusOK {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	skin := section(t, doc, "wall-skin")
	words := text(skin)
	for _, want := range []string{"North wall is two layers behind the others", "At most places three of five layers are on", "Wall membrane was covered before it was seen: East wall, South wall and West wall"} {
		if !strings.Contains(words, want) {
			t.Errorf("the page does not say %q: %s", want, words)
		}
	}
	if odd := find(skin, "li.odd"); len(odd) != 1 || !strings.Contains(text(odd[0]), "North wall") {
		t.Errorf("%d places are marked as unlike most", len(odd))
	}
	if n := len(find(skin, "svg.section")); n != 1 {
		t.Errorf("the build-up is drawn %d times", n)
	}
	if n := len(find(skin, "svg.small")); n != 4 {
		t.Errorf("%d places are drawn beside each other, not 4", n)
	}
	if n := len(find(skin, "svg.section path.lx")); n != 1 {
		t.Errorf("%d layers are crossed out as covered unseen, not 1", n)
	}
	if n := len(find(skin, "svg.section use")); n < 3 {
		t.Errorf("only %d gates", n)
	}
}

func TestLayersAtAPlace(t *testing.T) {
	s := wallsUnderWay(t)
	_, doc := s.get(s.job + "/layers?at=wall-north")
	skin := section(t, doc, "wall-skin")
	if here := find(skin, "[aria-current=true]"); len(here) != 1 || text(here[0]) != "North wall" {
		t.Errorf("%d places are marked as the one that is drawn", len(here))
	}
	rows := find(skin, ".layers summary")
	for k, want := range []string{"on, open", "may go on now", "must wait", "must wait", "must wait"} {
		if got := text(rows[k]); !strings.Contains(got, want) && !(k == 0 && strings.Contains(got, "being covered this week")) {
			t.Errorf("layer %d at the north wall: %q, not %q", k+1, got, want)
		}
	}
	if got := text(rows[0]); !strings.Contains(got, "left") && !strings.Contains(got, "over") {
		t.Errorf("no clock runs on the sheathing: %q", got)
	}
	for _, want := range []string{"Laid by", "Why on that day", "It must wait until", "Must wait until", "Before it is covered", "Drawn to scale, but for 2"} {
		if !strings.Contains(text(skin), want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	// A place that the build-up has not is no matter.
	if w, _ := s.get(s.job + "/layers?at=nowhere"); w.Code != http.StatusOK {
		t.Errorf("a place that is not there: status %d", w.Code)
	}
}

const skinOrder = "/layers/wall-skin/order"

func TestLayersAreMovedAfterALook(t *testing.T) {
	s := newSite(t, garden)
	w, doc := s.get(s.job + skinOrder + "?layer=sheathing&after=tape")
	if w.Code != http.StatusOK {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	words := text(find(doc, "main")[0])
	for _, want := range []string{"Nothing is kept yet", "Sheathing: after Taped joints", "Sheathing then goes over Taped joints", "Cladding boards then goes over Sheathing", "What moves", "Keep the new order"} {
		if !strings.Contains(words, want) {
			t.Errorf("the look ahead does not say %q", want)
		}
	}
	if s.sheet().Revision != 1 || s.sheet().Job.BuildUps[0].Layers[0].ID != "sheathing" {
		t.Error("looking has kept something")
	}
	w, _ = s.post(s.job+skinOrder, url.Values{"layer": {"sheathing"}, "after": {"tape"}, "seen": {"1"}, "request": {uuid.NewString()}})
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if _, doc := s.get(w.Header().Get("Location")); !strings.HasPrefix(says(doc, "main .said"), "The new order of layers is kept.") {
		t.Errorf("the page says %q", says(doc, "main .said"))
	}
	if sheet := s.sheet(); sheet.Revision != 2 || sheet.Job.BuildUps[0].Layers[1].ID != "sheathing" || len(s.memory.lines) != 1 {
		t.Errorf("revision %d, %d lines of history, %v", sheet.Revision, len(s.memory.lines), sheet.Job.BuildUps[0].Layers)
	}
}

func TestLayersAreNotMovedWhereThatCannotBe(t *testing.T) {
	s := newSite(t, garden)
	for _, c := range []struct {
		order string
		code  int
		says  string
	}{
		{"/layers/roof/order?layer=tape", http.StatusNotFound, "no such thing"},
		{skinOrder + "?layer=tiles", http.StatusNotFound, "no such thing"},
		{skinOrder + "?layer=sheathing", http.StatusUnprocessableEntity, "there already"},
		{skinOrder + "?layer=tape&after=tape", http.StatusUnprocessableEntity, "after itself"},
		{skinOrder + "?layer=tape&after=boards", http.StatusUnprocessableEntity, "tape"}, // what must be covered cannot be the outermost
	} {
		w, doc := s.get(s.job + c.order)
		if words := text(find(doc, "main")[0]); w.Code != c.code || !strings.Contains(words, c.says) || strings.Contains(words, "Keep the new order") {
			t.Errorf("%s: status %d, %s", c.order, w.Code, words)
		}
	}
	w, doc := s.post(s.job+skinOrder, url.Values{"layer": {"tape"}, "after": {"boards"}})
	if w.Code != http.StatusUnprocessableEntity || len(find(doc, "main .problem")) == 0 || s.memory.revision != 1 {
		t.Errorf("status %d, revision %d", w.Code, s.memory.revision)
	}
}

// TestLayersAreMovedInATrial: the same look ahead puts the new order into a trial, a new
// one or one that is open, and the job stays as it is.
func TestLayersAreMovedInATrial(t *testing.T) {
	s := newSite(t, garden)
	path := s.job + skinOrder
	wantWords(t, s, path+"?layer=sheathing&after=tape", "Or try it first, in", "a new trial")
	w, _ := s.post(path, url.Values{"layer": {"sheathing"}, "after": {"tape"}, "do": {"try"}, "trial": {""}})
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != s.job+"/trials/1#effect" {
		t.Fatalf("%d to %q: %s", w.Code, w.Header().Get("Location"), w.Body)
	}
	wantWords(t, s, s.job+"/trials/1", "Sheathing goes on after Taped joints")
	wantWords(t, s, path+"?layer=sheathing&after=tape", "Sheathing goes on after Taped joints")            // the trial can be chosen
	s.mustPost(path, url.Values{"layer": {"sheathing"}, "after": {"tape"}, "do": {"try"}, "trial": {"1"}}) // takes the place of the first
	if tried := s.memory.tried; len(tried) != 1 || len(tried[0].Ops) != 1 || tried[0].Version != 2 || s.memory.revision != 1 {
		t.Errorf("%d trials, revision %d", len(tried), s.memory.revision)
	}
	for trial, code := range map[string]int{"9": http.StatusNotFound, "x": http.StatusBadRequest, "-1": http.StatusBadRequest} {
		if w, _ := s.post(path, url.Values{"layer": {"tape"}, "do": {"try"}, "trial": {trial}}); w.Code != code {
			t.Errorf("in the trial %q: %d", trial, w.Code)
		}
	}
	if w, doc := s.post(path, url.Values{"layer": {"tape"}, "after": {"tape"}, "do": {"try"}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(says(doc, "main"), "after itself") || len(s.memory.tried) != 1 {
		t.Errorf("%d, %d trials", w.Code, len(s.memory.tried))
	}
}

// TestWhoMovesLayers: owner and designer are shown the buttons, the others read.
func TestWhoMovesLayers(t *testing.T) {
	s := newSite(t, garden)
	for _, role := range []scheduler.Role{scheduler.Owner, scheduler.Designer, scheduler.SiteLead, scheduler.Reader} {
		r := httptest.NewRequest(http.MethodGet, s.job+"/layers", nil)
		v := signin.Visitor{Name: "kim", Session: uuid.New(), Account: uuid.New(), Role: role}
		_, doc := s.ask(r.WithContext(signin.With(r.Context(), v)))
		may := role == scheduler.Owner || role == scheduler.Designer
		if n := len(find(doc, ".shift button")); may != (n > 0) {
			t.Errorf("%s: %d buttons to move layers", role, n)
		}
	}
}
