package jobfile

import (
	"errors"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"gaugerod/scheduler"
)

func everyFeature(t *testing.T) *scheduler.Job {
	t.Helper()
	const file = "../../testdata/every-feature.job.yaml"
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	job, err := Read(file, data)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

// sameJob leaves out where things stood.
var sameJob = cmp.Options{cmpopts.IgnoreTypes(scheduler.Pos{}), cmpopts.EquateEmpty()}

// TestPutOfWhatIsThereChangesNothing puts every thing of a job with every feature into
// its own place.
func TestPutOfWhatIsThereChangesNothing(t *testing.T) {
	job := everyFeature(t)
	whole := Whole(job)
	things := 0
	for _, section := range whole.Keys {
		var paths [][]string
		for _, e := range section.Value.Keys {
			paths = append(paths, []string{section.Key, e.Key})
		}
		for _, v := range section.Value.List {
			paths = append(paths, []string{section.Key, v.Mark()})
		}
		for _, path := range paths {
			v, ok := Find(job, path...)
			if !ok {
				t.Fatalf("%v is not found", path)
			}
			next, err := PutText(job, v.String(), path...)
			if err != nil {
				t.Fatalf("%v: %v", path, err)
			}
			if d := cmp.Diff(job, next, sameJob); d != "" {
				t.Errorf("%v: %s", path, d)
			}
			things++
		}
	}
	if things < 40 {
		t.Errorf("only %d things were put", things)
	}
}

func TestPutSaysWhereAFaultIs(t *testing.T) {
	for _, c := range []struct {
		name, text string
		path       []string
		own        bool
		at, word   string
	}{
		{"no length of time", "{title: T, takes: soon}", []string{"tasks", "new"}, true, "takes", "length of time"},
		{"nothing under a key that must be", "{title: T}", []string{"tasks", "new"}, true, "takes", "has no"},
		{"a place that nobody knows", "{title: T, takes: 1 day, place: moon}", []string{"tasks", "new"}, true, "place", "moon"},
		{"one of several places", "{title: T, takes: 1 day, places: [moon, house]}", []string{"tasks", "new"}, true, "places 0", "moon"},
		{"a wait for nothing", "{title: T, takes: 1 day, after: [{finish: moon}]}", []string{"tasks", "new"}, true, "after 0 finish", "moon"},
		{"a name that cannot be one", "{title: T, takes: 1 day}", []string{"tasks", "No Name"}, true, "", "cannot be one"},
		{"a stage", "{title: T, stages: {making: {title: M, takes: x}}}", []string{"orders", "new"}, true, "stages making takes", "length of time"},
		{"a trade that others need", "", []string{"trades", "cladding"}, false, "", "cladding"},
		{"a pin of nothing", "{step: moon, on: 2026-05-04}", []string{"pins", ""}, true, "step", "moon"},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := everyFeature(t)
			_, err := PutText(job, c.text, c.path...)
			var m Misfits
			if !errors.As(err, &m) {
				t.Fatal(err)
			}
			if !slices.ContainsFunc(m, func(f Misfit) bool {
				return f.Own == c.own && (!c.own || strings.Join(f.At, " ") == c.at) && strings.Contains(f.What, c.word)
			}) {
				t.Errorf("%+v", m)
			}
			if d := cmp.Diff(everyFeature(t), job, sameJob); d != "" {
				t.Error("the job itself has changed", d)
			}
		})
	}
}

func TestPutTakesOutAndAdds(t *testing.T) {
	job := everyFeature(t)
	next, err := PutText(job, "{title: T, takes: 1 day}", "tasks", "new")
	if err != nil || len(next.Tasks) != len(job.Tasks)+1 {
		t.Fatal(err)
	}
	if next, err = PutText(next, "", "tasks", "new"); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(job, next, sameJob); d != "" {
		t.Error(d)
	}
	if _, err := PutText(job, "", "tasks", "new"); !errors.Is(err, scheduler.ErrNotFound) {
		t.Error(err)
	}
	if _, err := PutText(job, "{from: 2026-05-04, to: 2026-05-04}", "closures", "gone"); !errors.Is(err, scheduler.ErrNotFound) {
		t.Error(err)
	}
}

// TestWordsThatLookLikeSomethingElse: whatever somebody types stays a word.
func TestWordsThatLookLikeSomethingElse(t *testing.T) {
	for _, s := range []string{"true", "2", "null", "a: b", "- x", "{x: y}", "*a", "&a", "!tag", "#", "\"", "'", "a\nb: c", "\t", "…", "---", "2026-05-04"} {
		job := everyFeature(t)
		v := Value{Is: Keys, Keys: []Entry{{"title", Value{Word: s}}, {"takes", Value{Word: "1 day"}}}}
		next, err := Put(job, &v, "tasks", "new")
		if strings.TrimSpace(s) == "" || strings.Contains(s, "\n") {
			continue // the rules may refuse it; that it is no fault of form is enough
		}
		if err != nil {
			t.Errorf("%q: %v", s, err)
			continue
		}
		if got := next.Tasks[len(next.Tasks)-1].Title; got != s {
			t.Errorf("%q came back as %q", s, got)
		}
		v = Value{Is: Keys, Keys: []Entry{{"title", Value{Word: "T"}}, {"crews", Value{Word: s, Loose: true}}, {"takes", Value{Word: "1 day"}}}}
		if _, err := Put(job, &v, "tasks", "new"); (err == nil) != (s == "2") {
			t.Errorf("crews of %q: %v", s, err)
		}
	}
}
