package planner

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// telling is what is asked for again and again while a solution is put into words, and
// does not change meanwhile: a large job has as many waits as hundreds of pages have lines.
type telling struct {
	first, arcs []int32 // by step: arcs[first[i]:first[i+1]] of h hold it where it is planned
	ends        [2][]string
	spans       map[worktime.Span]string
	days        map[worktime.Instant]string
	refused     map[scheduler.ID]bool
}

// tell begins to put the solution into words.
func (s *solution) tell() {
	n := s.h.Steps()
	t := telling{first: make([]int32, n+1), arcs: make([]int32, 0, n), spans: map[worktime.Span]string{}, days: map[worktime.Instant]string{}, refused: map[scheduler.ID]bool{}}
	for k := range s.net.Job.Facts {
		if f := &s.net.Job.Facts[k]; f.Refused != nil {
			t.refused[f.Step] = true
		}
	}
	for i := range n {
		t.arcs = s.h.AppendHolding(t.arcs, i, &s.planned)
		t.first[i+1] = int32(len(t.arcs))
	}
	for end := range t.ends {
		t.ends[end] = make([]string, n)
	}
	s.telling = t
}

// holding is the arcs that hold step i where it is planned.
func (s *solution) holding(i int32) []int32 {
	return s.telling.arcs[s.telling.first[i]:s.telling.first[i+1]]
}

// pointText is one end of step i as data names it.
func (s *solution) pointText(i int32, end scheduler.End) string {
	text := &s.telling.ends[end][i]
	if *text == "" {
		*text = scheduler.Point{Step: s.net.Steps[i].ID, End: end}.String()
	}
	return *text
}

// spanText is a span in words.
func (s *solution) spanText(span worktime.Span) string {
	text, known := s.telling.spans[span]
	if !known {
		text = span.String()
		s.telling.spans[span] = text
	}
	return text
}
