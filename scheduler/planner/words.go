package planner

import (
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// name is a step in words.
func (s *solution) name(i int32) string { return s.net.Steps[i].Title }

func (s *solution) tradeTitle(id scheduler.ID) string {
	for k := range s.net.Job.Trades {
		if t := &s.net.Job.Trades[k]; t.ID == id && t.Title != "" {
			return t.Title
		}
	}
	return string(id)
}

func (s *solution) placeTitle(id scheduler.ID) string {
	for k := range s.net.Job.Places {
		if p := &s.net.Job.Places[k]; p.ID == id && p.Title != "" {
			return p.Title
		}
	}
	return string(id)
}

func (s *solution) gearTitle(id scheduler.ID) string {
	for k := range s.net.Job.Gear {
		if g := &s.net.Job.Gear[k]; g.ID == id && g.Title != "" {
			return g.Title
		}
	}
	return string(id)
}

func (s *solution) occupation(id scheduler.ID) *scheduler.Occupation {
	for k := range s.net.Occupations {
		if s.net.Occupations[k].ID == id {
			return &s.net.Occupations[k]
		}
	}
	return nil
}

func (s *solution) time(t worktime.Instant) time.Time { return t.Time(s.g.Zone) }

// day is an instant as people say it: "Thu 21 May 2026, 07:30".
func (s *solution) day(t worktime.Instant) string {
	if text, known := s.telling.days[t]; known {
		return text
	}
	text := s.time(t).Format("Mon 2 Jan 2006, 15:04")
	if s.telling.days != nil {
		s.telling.days[t] = text
	}
	return text
}

// point is one end of a step in words: "Cladding is finished".
func (s *solution) point(p scheduler.Point) string {
	if i, ok := s.net.Find(p.Step); ok {
		return s.pointOf(int32(i), p.End)
	}
	return endOf(string(p.Step), p.End)
}

func (s *solution) pointOf(i int32, end scheduler.End) string { return endOf(s.name(i), end) }

func endOf(name string, end scheduler.End) string {
	var room [128]byte
	return string(appendEndOf(room[:0], name, end))
}

func appendEndOf(text []byte, name string, end scheduler.End) []byte {
	if end == scheduler.Start {
		text = append(text, "the start of “"...)
	} else {
		text = append(text, "the finish of “"...)
	}
	return append(append(text, name...), "”"...)
}

func quote(name string) string { return "“" + name + "”" }

// wait is a wait in words.
func (s *solution) wait(w *scheduler.Wait) string {
	text := s.point(w.To) + " comes "
	switch {
	case w.Most != nil && w.Least.Zero():
		text += "after, and at most " + w.Most.String() + " after, "
	case w.Most != nil:
		text += "at least " + w.Least.String() + " and at most " + w.Most.String() + " after "
	case w.Least.Zero():
		text += "after "
	default:
		text += "at least " + w.Least.String() + " after "
	}
	text += s.point(w.From)
	if w.Reason != "" {
		text += " (" + string(w.Reason) + ")"
	}
	if w.Origin != "" {
		text += ", from " + w.Origin
	}
	return text
}
