package web

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// press sends the form of a button, with what stands in its hidden fields, and goes where
// it leads.
func (s *site) press(doc *html.Node, button string, with url.Values) (int, *html.Node) {
	s.t.Helper()
	all := find(doc, button)
	if len(all) != 1 {
		s.t.Fatalf("%d buttons %s", len(all), button)
	}
	form := all[0].Parent
	for form.Data != "form" {
		form = form.Parent
	}
	v := url.Values{attr(all[0], "name"): {attr(all[0], "value")}}
	for _, n := range find(form, "input[type=hidden]") {
		v.Add(attr(n, "name"), attr(n, "value"))
	}
	maps.Copy(v, with)
	to := attr(all[0], "formaction")
	if to == "" {
		to = attr(form, "action")
	}
	w, page := s.post(to, v)
	if w.Code == http.StatusSeeOther {
		w, page = s.get(w.Header().Get("Location"))
	}
	return w.Code, page
}

func keysOf(t *testing.T, job *scheduler.Job, path ...string) (keys []string) {
	t.Helper()
	v, _ := jobfile.Find(job, path...)
	for _, e := range v.Keys {
		keys = append(keys, e.Key)
	}
	return keys
}

// TestThingsAreMovedInTheirLists moves things by the buttons of their lists: down, and up
// again, with the focus on the button that was pressed.
func TestThingsAreMovedInTheirLists(t *testing.T) {
	for _, c := range []struct{ list, at, inJob string }{
		{"/edit/trades", "/edit/trades/", "trades"},
		{"/edit/places", "/edit/places/", "places"},
		{"/edit/tasks", "/edit/tasks/", "tasks"},
		{"/edit/holds", "/design/holds/", "holds"},
		{"/edit/typicals/openings", "/edit/typicals/openings/tasks/", "typicals openings tasks"},
	} {
		t.Run(c.inJob, func(t *testing.T) {
			s := newSite(t, garden)
			path := strings.Fields(c.inJob)
			was := keysOf(t, s.sheet().Job, path...)
			before, _ := jobfile.Write(s.sheet().Job)
			first := s.job + c.at + was[0]
			_, doc := s.get(s.job + c.list)
			if n := len(find(doc, `button[formaction=`+first+`]`)); n != 1 {
				t.Fatalf("the first one has %d buttons", n)
			}
			code, doc := s.press(doc, `button[formaction=`+first+`]`, nil)
			want := slices.Clone(was)
			want[0], want[1] = want[1], want[0]
			if got := keysOf(t, s.sheet().Job, path...); code != http.StatusOK || !slices.Equal(got, want) {
				t.Fatalf("%d: %v, want %v", code, got, want)
			}
			focus := find(doc, "button[autofocus]")
			if len(focus) != 1 || attr(focus[0], "formaction") != first {
				t.Errorf("the focus is on %d buttons", len(focus))
			}
			if len(was) > 2 && attr(focus[0], "value") != moveDown {
				t.Error("the focus is not on the button that was pressed")
			}
			for _, b := range find(doc, `button[formaction=`+first+`]`) {
				if attr(b, "value") == moveUp {
					b.Attr = slices.DeleteFunc(b.Attr, func(a html.Attribute) bool { return a.Key == "class" })
					b.Attr = append(b.Attr, html.Attribute{Key: "class", Val: "this"})
				}
			}
			if code, _ = s.press(doc, "button.this", nil); code != http.StatusOK {
				t.Error(code)
			}
			if after, _ := jobfile.Write(s.sheet().Job); string(after) != string(before) {
				t.Error("the job is not what it was")
			}
		})
	}
}

// TestLinesAreMovedInTheForm moves a layer, and a stage, with something else typed; only
// keeping it changes the job.
func TestLinesAreMovedInTheForm(t *testing.T) {
	for _, c := range []struct {
		path string
		rows []string
	}{
		{"/design/build-ups/wall-skin", []string{"build-ups", "wall-skin", "layers"}},
		{"/edit/orders/windows", []string{"orders", "windows", "stages"}},
	} {
		t.Run(c.rows[2], func(t *testing.T) {
			s := newSite(t, garden)
			was := keysOf(t, s.sheet().Job, c.rows...)
			_, doc := s.get(s.job + c.path)
			v := filled(doc)
			v.Set("title", "Another title")
			v.Set("do", "down-"+c.rows[2]+"-0")
			w, doc := s.post(s.job+c.path, v)
			if w.Code != http.StatusOK || !strings.Contains(says(doc, "[role=status]"), "another order") {
				t.Fatal(w.Code, says(doc, "[role=status]"))
			}
			if got := keysOf(t, s.sheet().Job, c.rows...); !slices.Equal(got, was) {
				t.Error("it was kept already")
			}
			focus := find(doc, "button[autofocus]")
			if len(focus) != 1 || attr(focus[0], "value") != "down-"+c.rows[2]+"-1" {
				t.Errorf("the focus is on %v", focus)
			}
			v = filled(doc)
			if v.Get("title") != "Another title" {
				t.Error("what was typed is lost")
			}
			if w, doc = s.post(s.job+c.path, v); w.Code != http.StatusSeeOther {
				t.Fatal(w.Code, says(doc, "#wrong"), says(doc, ".problem"))
			}
			want := slices.Clone(was)
			want[0], want[1] = want[1], want[0]
			if got := keysOf(t, s.sheet().Job, c.rows...); !slices.Equal(got, want) {
				t.Errorf("%v, want %v", got, want)
			}
		})
	}
}

// TestAShortNameIsChanged gives things other names by their forms, on a real database, and
// is refused what cannot be at the field.
func TestAShortNameIsChanged(t *testing.T) {
	s := newStoredSite(t, garden)
	for _, c := range []struct {
		path, of, to string
		word         string // of the refusal; empty: it is taken
		in           []string
	}{
		{"/edit/tasks/frame", "", "carcass", "", []string{"tasks", "carcass"}},
		{"/edit/trades/windows", "", "setters", "", []string{"trades", "setters"}},
		{"/edit/typicals/openings/tasks/pan", "", "sill-pan", "", []string{"typicals", "openings", "tasks", "sill-pan"}},
		{"/edit/orders/windows", "making", "built", "", []string{"orders", "windows", "stages", "built"}},
		{"/design/build-ups/wall-skin", "", "skin", "", []string{"build-ups", "skin"}},
		{"/edit/tasks/clad", "", "tape", "already", nil},
		{"/edit/tasks/clad", "", "No Name", "cannot be one", nil},
		{"/edit/tasks/clad", "", "", "missing", nil},
	} {
		_, doc := s.get(s.job + c.path)
		code, doc := s.press(doc, "form.name button", url.Values{"name": {c.to}, "of": {c.of}})
		if c.word != "" {
			if said := says(doc, "form.name .problem"); code != http.StatusUnprocessableEntity || !strings.Contains(said, c.word) {
				t.Errorf("%s to %q: %d %q", c.path, c.to, code, said)
			}
			continue
		}
		if code != http.StatusOK || !strings.Contains(says(doc, "main .said"), "new name") {
			t.Errorf("%s: %d %q %q", c.path, code, says(doc, "main .said"), says(doc, ".problem"))
		}
		job, _, err := s.pages.office.Job(t.Context(), scheduler.ID(strings.TrimPrefix(s.job, "/jobs/")))
		if err != nil {
			t.Fatal(err)
		}
		if _, ok := jobfile.Find(job, c.in...); !ok {
			t.Errorf("%s: %v is not there", c.path, c.in)
		}
	}
}
