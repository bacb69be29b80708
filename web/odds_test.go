package web

import (
	"net/http"
	"strings"
	"testing"

	"gaugerod/scheduler"
)

// TestOddsInWords reads how likely the finish of the demo is, and of jobs of which it
// cannot be said.
func TestOddsInWords(t *testing.T) {
	s := newSite(t, demo)
	w, doc := s.get(s.job + "/odds")
	o, err := s.sheet().Odds()
	if w.Code != http.StatusOK || err != nil || o.Tries < 100 || o.Unsure < 30 {
		t.Fatalf("%d: %+v, %v", w.Code, o, err)
	}
	says := text(find(doc, "main")[0])
	for _, words := range []string{
		"All work is done by", "was kept in " + ofTries(o.Done(s.sheet().Plan.Finish), o.Tries), ofTries(o.Dues[1].Kept, o.Tries),
		"Kitchen: Kitchen made", "usually takes 7 weeks, at worst 9 weeks", "Roofers, Roof: planned from", "The truth is wider",
	} {
		if !strings.Contains(says, words) {
			t.Errorf("nothing says %q", words)
		}
	}
	columns := find(doc, "svg path.tries")
	if len(columns) < 5 || len(find(doc, "svg[role=group]")) != 1 {
		t.Errorf("%d columns drawn", len(columns))
	}
}

// TestNoOdds: where nothing was written down, or statements contradict each other, the
// page says so.
func TestNoOdds(t *testing.T) {
	for words, spoil := range map[string]func(*scheduler.Job){
		"Nobody has written down": func(j *scheduler.Job) {
			for k := range j.Tasks {
				j.Tasks[k].Spread = scheduler.Spread{}
			}
			for k := range j.Orders {
				for n := range j.Orders[k].Stages {
					j.Orders[k].Stages[n].Spread = scheduler.Spread{}
				}
			}
		},
		"contradict each other": func(j *scheduler.Job) {
			end := func(k int) scheduler.Point { return scheduler.Point{Step: j.Tasks[k].ID, End: scheduler.Finish} }
			begin := func(k int) scheduler.Point { return scheduler.Point{Step: j.Tasks[k].ID} }
			j.Waits = append(j.Waits, scheduler.Wait{From: end(3), To: begin(4)}, scheduler.Wait{From: end(4), To: begin(3)})
			j.Canonical()
		},
	} {
		s := newSite(t, garden)
		read := s.memory.read
		s.memory.read = func() *scheduler.Job {
			job := read()
			spoil(job)
			return job
		}
		if w, doc := s.get(s.job + "/odds"); w.Code != http.StatusOK || !strings.Contains(text(find(doc, "main")[0]), words) {
			t.Errorf("%d, nothing says %q: %s", w.Code, words, text(find(doc, "main")[0]))
		}
	}
}
