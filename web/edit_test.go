package web

import (
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/google/uuid"
	"golang.org/x/net/html"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// filled is what a form on a page would send as it stands.
func filled(doc *html.Node) url.Values {
	v := url.Values{}
	for _, n := range find(doc, "form.thing input") {
		if attr(n, "type") == "checkbox" && !has(n, "checked") {
			continue
		}
		v.Add(attr(n, "name"), attr(n, "value"))
	}
	for _, n := range find(doc, "form.thing textarea") {
		v.Set(attr(n, "name"), text(n))
	}
	for _, s := range find(doc, "form.thing select") {
		for o := s.FirstChild; o != nil; o = o.NextSibling {
			if has(o, "selected") {
				v.Set(attr(s, "name"), attr(o, "value"))
			}
		}
	}
	v.Set("do", "keep")
	return v
}

// TestEveryFormGivesBackWhatItShows sends the form of every thing as it stands: nothing
// of the job is different afterwards.
func TestEveryFormGivesBackWhatItShows(t *testing.T) {
	s := newSite(t, garden)
	before, err := jobfile.Write(s.sheet().Job)
	if err != nil {
		t.Fatal(err)
	}
	forms := []string{s.job + "/edit/site/itself"}
	for k := range kinds {
		_, doc := s.get(s.job + "/edit/" + kinds[k].section)
		entries := find(doc, "main .model li a[href]")
		if len(entries) == 0 && kinds[k].section != "waits" { // all of this job's can stand with the step that waits
			t.Errorf("the job has no %s", kinds[k].section)
		}
		for _, a := range entries {
			forms = append(forms, attr(a, "href"))
			if kinds[k].parts != nil {
				_, doc := s.get(attr(a, "href"))
				for _, a := range find(doc, ".part li a[href]") {
					forms = append(forms, attr(a, "href"))
				}
			}
		}
	}
	if len(forms) < 40 {
		t.Errorf("only %d forms", len(forms))
	}
	for _, path := range forms {
		w, doc := s.get(path)
		if w.Code != http.StatusOK {
			t.Fatalf("%s: %d", path, w.Code)
		}
		sound(t, path, doc, w.Body.String())
		job, values := s.sheet().Job, filled(doc)
		kind, at := kindAt(path)
		thing, ok := jobfile.Find(job, at...)
		if !ok {
			t.Fatalf("%s: %v is not there", path, at)
		}
		next, _ := readThing(values, kind.fields, thing)
		after, err := jobfile.Put(job, &next, at...)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		if text, err := jobfile.Write(after); err != nil || string(text) != string(before) {
			t.Errorf("%s changes the job: %v\n%s\n%s", path, err, thing.String(), next.String())
		}
	}
}

// kindAt is the kind and the path in the job of a form's address.
func kindAt(address string) (*kindOf, []string) {
	parts := strings.Split(address, "/")[4:]
	if parts[0] == siteKind.section {
		return &siteKind, nil
	}
	kind := findKind(kinds, parts[0])
	if len(parts) > 2 {
		kind = findKind(kind.parts, parts[2])
	}
	return kind, parts
}

// TestEveryKindIsAddedChangedAndTakenOut goes the whole way by forms alone.
func TestEveryKindIsAddedChangedAndTakenOut(t *testing.T) {
	for _, c := range []struct {
		at          string
		add, change url.Values
		key         string // under which it is then; empty: it has no name
	}{
		{"/edit/closures/", url.Values{"from": {"2026-07-01"}, "to": {"2026-07-02"}, "why": {"Fair"}}, url.Values{"why": {"The fair"}}, ""},
		{"/edit/people/", url.Values{"name": {"Zoe Example"}, "role": {"engineer"}}, url.Values{"name": {"Zoe E."}}, "zoe-example"},
		{"/edit/trades/", url.Values{"title": {"Tilers"}, "short": {"TI"}, "off-0-from": {"2026-07-01"}, "off-0-to": {"2026-07-01"}}, url.Values{"crews": {"2"}}, "tilers"},
		{"/edit/gear/", url.Values{"title": {"Saw"}}, url.Values{"count": {"3"}}, "saw"},
		{"/edit/places/", url.Values{"title": {"Bath"}, "within": {"house"}}, url.Values{"room": {"1"}}, "bath"},
		{"/edit/tasks/", url.Values{"title": {"Sweep up"}, "takes": {"1 day"}, "places": {"house"}, "after-0-end": {"finish"}, "after-0-step": {"frame"}}, url.Values{"takes": {"2 days"}, "weather.dry": {"true"}}, "sweep-up"},
		{"/design/holds/", url.Values{"title": {"Swept"}, "kind": {"inspection"}, "by": {"kim"}}, url.Values{"notice": {"2 days"}}, "swept"},
		{"/edit/orders/", url.Values{"title": {"Tiles"}, "stages-0-title": {"Cut"}, "stages-0-takes": {"5 days"}, "stages-1-title": {"Carried"}, "stages-1-takes": {"1 day"}}, url.Values{"keep": {"5 days"}}, "tiles"},
		{"/edit/typicals/", url.Values{"title": {"One room"}, "places": {"house", "garden"}, "tasks-0-title": {"Sweep"}, "tasks-0-takes": {"1 day"}}, url.Values{"title": {"A room"}}, "one-room"},
		{"/edit/typicals/openings/tasks/", url.Values{"title": {"Trim"}, "takes": {"1 day"}, "after-0-step": {"set"}}, url.Values{"takes": {"3 hours"}}, "trim"},
		{"/edit/typicals/openings/holds/", url.Values{"title": {"Trim seen"}, "kind": {"inspection"}, "by": {"kim"}}, url.Values{"note": {"From inside"}}, "trim-seen"},
		{"/edit/typicals/openings/waits/", url.Values{"from-end": {"start"}, "from-step": {"pan"}, "to-end": {"finish"}, "to-step": {"set"}}, url.Values{"least": {"1 hour"}}, ""},
		{"/design/build-ups/", url.Values{"title": {"Floor"}, "places": {"house"}, "layers-0-title": {"Frame"}, "layers-0-by": {"frame"}, "layers-1-title": {"Paint"}, "layers-1-by": {"paint-inside"}}, url.Values{"outward": {"bottom to top"}}, "floor"},
		{"/design/waits/", url.Values{"from-end": {"start"}, "from-step": {"frame"}, "to-end": {"finish"}, "to-step": {"clad"}, "least": {"1 day"}}, url.Values{"note": {"Two gangs"}}, ""},
		{"/edit/occupations/", url.Values{"title": {"Rubbish skip"}, "place": {"garden"}, "from": {"clad"}, "to": {"strike"}}, url.Values{"admits": {"frame, tape"}}, "rubbish-skip"},
		{"/edit/dues/", url.Values{"title": {"Struck"}, "step": {"strike"}, "on": {"2026-09-30"}}, url.Values{"on": {"2026-10-01"}}, "struck"},
		{"/edit/pins/", url.Values{"step": {"tape"}, "not-before": {"2026-04-20"}, "by": {"kim"}}, url.Values{"reason": {"Tape comes then"}}, ""},
	} {
		t.Run(c.at, func(t *testing.T) {
			s := newSite(t, garden)
			before, _ := jobfile.Write(s.sheet().Job)
			_, doc := s.get(s.job + c.at + newThing)
			send := func(path string, doc *html.Node, with url.Values) {
				t.Helper()
				v := filled(doc)
				maps.Copy(v, with)
				w, doc := s.post(path, v)
				if w.Code != http.StatusSeeOther {
					t.Fatalf("%d: %s", w.Code, says(doc, "main .said")+says(doc, "main .problem"))
				}
				if w, doc := s.get(w.Header().Get("Location")); w.Code != http.StatusOK || says(doc, "main .said") == "" {
					t.Errorf("the page after it: %d %q", w.Code, says(doc, "main .said"))
				}
			}
			send(s.job+c.at+newThing, doc, c.add)
			_, section := kindAt(s.job + c.at)
			section = section[:len(section)-1]
			key := func() string {
				if c.key != "" {
					return c.key
				}
				all, _ := jobfile.Find(s.sheet().Job, section...)
				return all.List[len(all.List)-1].Mark()
			}
			if c.key == "" { // find the one that is new
				old := newSite(t, garden).sheet().Job
				was, _ := jobfile.Find(old, section...)
				key = func() string {
					all, _ := jobfile.Find(s.sheet().Job, section...)
					for k := range all.List {
						if !slices.ContainsFunc(was.List, func(v jobfile.Value) bool { return v.Mark() == all.List[k].Mark() }) {
							return all.List[k].Mark()
						}
					}
					t.Fatal("nothing new is there")
					return ""
				}
			}
			path := s.job + c.at + key()
			_, doc = s.get(path)
			send(path, doc, c.change)
			path = s.job + c.at + key()
			thing, ok := jobfile.Find(s.sheet().Job, append(slices.Clone(section), key())...)
			if !ok {
				t.Fatal("it is not there")
			}
			for name, want := range c.change {
				v, _ := in(thing, name)
				if got := v.InWords(name, func(_, word string) string { return word }); got != want[0] && got != "yes" && strings.ReplaceAll(got, " and ", ", ") != want[0] {
					t.Errorf("%s is %q, want %q", name, got, want[0])
				}
			}
			_, doc = s.get(path)
			send(path, doc, url.Values{"do": {"remove"}})
			if after, _ := jobfile.Write(s.sheet().Job); string(after) != string(before) {
				t.Error("the job is not what it was")
			}
		})
	}
}

// TestFaultsStandAtTheirFields sends what the file reader or the rules refuse.
func TestFaultsStandAtTheirFields(t *testing.T) {
	for _, c := range []struct {
		name, at string
		with     url.Values
		field    string // empty: at the top
		word     string
	}{
		{"no length of time", "/edit/tasks/frame", url.Values{"takes": {"soon"}}, "takes", "length of time"},
		{"nothing where something must be", "/edit/tasks/frame", url.Values{"title": {""}}, "title", "title"},
		{"no number", "/edit/tasks/frame", url.Values{"crews": {"two"}}, "crews", "whole number"},
		{"a place of nobody", "/edit/tasks/frame", url.Values{"places": {"moon"}}, "places", "moon"},
		{"one of two trades of nobody", "/edit/tasks/frame", url.Values{"trades": {"framing", "moon"}}, "trades", "moon"},
		{"weather", "/edit/tasks/frame", url.Values{"weather.wind-below": {"much"}}, "weather.wind-below", "whole number"},
		{"a wait for itself", "/edit/tasks/clad", url.Values{"after-1-step": {"moon"}}, "after-1-step", "moon"},
		{"a wait with a line left empty before it", "/edit/tasks/clad", url.Values{"after-0-step": {""}, "after-0-note": {""}, "after-0-reason": {""}, "after-1-least": {"x"}}, "after-1-least", "length of time"},
		{"a stage", "/edit/orders/windows", url.Values{"stages-2-takes": {"long"}}, "stages-2-takes", "length of time"},
		{"a layer", "/design/build-ups/wall-skin", url.Values{"layers-1-by": {"moon"}}, "layers-1-by", "moon"},
		{"a day of the week", "/edit/site/itself", url.Values{"week.monday": {"all day"}}, "week.monday", "working period"},
		{"a zone", "/edit/site/itself", url.Values{"zone": {"Moon/Sea"}}, "zone", "Moon/Sea"},
		{"a task within a typical", "/edit/typicals/openings/tasks/set", url.Values{"takes": {"x"}}, "takes", "length of time"},
		{"a trade that others need", "/edit/trades/cladding", url.Values{"do": {"remove"}}, "", "cladding"},
		{"as long as a book", "/edit/tasks/frame", url.Values{"note": {strings.Repeat("x", maxField+1)}}, "note", "too long"},
		{"a control character", "/edit/tasks/frame", url.Values{"title": {"a\x00b"}}, "title", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSite(t, garden)
			before := s.sheet()
			_, doc := s.get(s.job + c.at)
			v := filled(doc)
			maps.Copy(v, c.with)
			w, doc := s.post(s.job+c.at, v)
			if w.Code != http.StatusUnprocessableEntity {
				t.Fatalf("status %d", w.Code)
			}
			said := says(doc, "#wrong li")
			if c.field != "" {
				said = ""
				for _, n := range find(doc, ".ask") {
					if len(find(n, "[name="+c.field+"]")) > 0 {
						said += says(n, ".problem")
					}
				}
			}
			if !strings.Contains(said, c.word) || said == "" {
				t.Errorf("at %q stands %q; top %q, fields %q", c.field, said, says(doc, "#wrong"), says(doc, ".problem"))
			}
			if s.sheet() != before {
				t.Error("something was kept")
			}
			if c.field == "" && len(find(doc, "#wrong a[href]")) == 0 {
				t.Error("no link leads to what needs it")
			}
		})
	}
}

func TestTwoWhoChangeTheSameThing(t *testing.T) {
	s := newSite(t, garden)
	path := s.job + "/edit/tasks/frame"
	_, doc := s.get(path)
	first, second := filled(doc), filled(doc)
	first.Set("takes", "7 days")
	second.Set("takes", "8 days")
	if w, _ := s.post(path, first); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	w, doc := s.post(path, second)
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(says(doc, "#wrong"), "Somebody has changed this") {
		t.Fatalf("%d %q", w.Code, says(doc, "#wrong"))
	}
	again := filled(doc)
	if again.Get("takes") != "8 days" {
		t.Errorf("what was typed is %q", again.Get("takes"))
	}
	if w, doc := s.get(path); w.Code != http.StatusOK || filled(doc).Get("takes") != "7 days" {
		t.Error("the second has overwritten the first")
	}
}

func TestMoreLinesKeepWhatWasTyped(t *testing.T) {
	s := newSite(t, garden)
	path := s.job + "/edit/orders/windows"
	_, doc := s.get(path)
	v := filled(doc)
	rows := len(find(doc, "#ask-stages li"))
	v.Set("title", "Other windows")
	v.Set("do", "more-stages")
	w, doc := s.post(path, v)
	if w.Code != http.StatusOK || len(find(doc, "#ask-stages li")) != rows+3 || filled(doc).Get("title") != "Other windows" {
		t.Errorf("%d, %d lines of %d, %q", w.Code, len(find(doc, "#ask-stages li")), rows, filled(doc).Get("title"))
	}
}

func TestListsAreSearched(t *testing.T) {
	s := newSite(t, demo)
	_, doc := s.get(s.job + "/edit/tasks?q=framing+DAY")
	n := len(find(doc, "main .model li"))
	_, doc = s.get(s.job + "/edit/tasks")
	if all := len(find(doc, "main .model li")); n == 0 || n >= all {
		t.Errorf("%d of %d", n, all)
	}
	if w, _ := s.get(s.job + "/edit/moons"); w.Code != http.StatusNotFound {
		t.Error(w.Code)
	}
	for _, path := range []string{"/edit/holds/frame-seen", "/design/tasks/frame", "/edit/tasks/none", "/edit/typicals/none/tasks/x", "/edit/typicals/openings/moons/x", "/edit/site/other"} {
		if w, _ := s.get(s.job + path); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

// TestFormsOfEditingByRole: lists lead to forms only where the reader may send them.
func TestFormsOfEditingByRole(t *testing.T) {
	s := newSite(t, garden)
	for role, want := range map[scheduler.Role][2]bool{scheduler.Owner: {true, true}, scheduler.Designer: {false, true}, scheduler.SiteLead: {}, scheduler.Reader: {}} {
		for k, section := range []string{"tasks", "holds"} {
			r := httptest.NewRequest(http.MethodGet, s.job+"/edit/"+section, nil)
			who := signin.Visitor{Name: "kim", Account: uuid.New(), Session: uuid.New(), Role: role}
			_, doc := s.ask(r.WithContext(signin.With(r.Context(), who)))
			if got := len(find(doc, "main a.add")) > 0 && len(find(doc, "main .model a")) > 0; got != want[k] {
				t.Errorf("%s, %s: %v", role, section, got)
			}
		}
	}
}
