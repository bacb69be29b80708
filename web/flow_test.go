package web

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
)

func TestFlowOfTheDemo(t *testing.T) {
	s := newSite(t, demo)
	path := s.job + "/flow?weeks=0"
	wantWords(t, s, path, "One window opening", "One outside wall", "catches up", "Window N1 on the stair", "The days, place by place")
	w, doc := s.get(path)
	if w.Body.Len() > maxWeight {
		t.Errorf("it weighs %d bytes", w.Body.Len())
	}
	b, err := newBoard(s.sheet(), readAt, false)
	if err != nil {
		t.Fatal(err)
	}
	steps := 0
	for _, f := range b.flows() {
		for _, line := range f.lines {
			for _, at := range line.at {
				if at == nil {
					t.Errorf("%s: a place has no %s", f.typical.ID, line.task.ID)
				}
				steps++
			}
		}
	}
	if drawn := len(find(doc, ".course path.fs")); drawn != steps || steps == 0 {
		t.Errorf("%d steps are drawn of %d", drawn, steps)
	}
	if w, _ := s.get(s.job + "/flow?weeks=5"); w.Code != http.StatusBadRequest {
		t.Errorf("five weeks: %d", w.Code)
	}
	wantWords(t, randomSite(t, 1, 30), "/jobs/house-1/flow", "Flow")
}

// TestFlowInWords: work that catches up, falls back, crosses, and keeps its distance.
func TestFlowInWords(t *testing.T) {
	sheet := scene()
	at := func(day, hour int) time.Time { return time.Date(2026, 5, day, hour, 0, 0, 0, time.UTC) }
	sheet.Job.Places = append(sheet.Job.Places, scheduler.Place{ID: "n1", Title: "Opening N1"}, scheduler.Place{ID: "n2", Title: "Opening N2"})
	for _, c := range []struct {
		first, second int // days of May on which the one behind begins
		want          string
	}{
		{25, 22, "catches up, from 2 working days between them in Opening N1 to no time"},
		{22, 27, "falls back, from 1 working day"},
		{21, 22, "keeps its distance"},
		{22, 20, "the lines cross: in Opening N2 it begins before"},
		{18, 19, "it begins everywhere before"},
	} {
		f := repeated{typical: &scheduler.Typical{ID: "o", Places: []scheduler.ID{"n1", "n2"}}}
		stand := func(title string, days ...int) repeatedTask {
			line := repeatedTask{task: &scheduler.Task{ID: "t", Title: title}}
			for _, d := range days {
				line.at = append(line.at, &scheduler.PlannedStep{Start: at(d, 8), Finish: at(d, 16)})
			}
			return line
		}
		f.lines = []repeatedTask{stand("Pan", 20, 21), stand("Set", c.first, c.second)}
		b, err := newBoard(sheet, readAt, false)
		if err != nil {
			t.Fatal(err)
		}
		says := b.saysFlow(f)
		if len(says) != 1 || !strings.Contains(says[0].Text(), c.want) {
			t.Errorf("%d, %d: %v, not %q", c.first, c.second, says, c.want)
		}
	}
}
