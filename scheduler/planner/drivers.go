package planner

import (
	"fmt"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// drivers is all that holds step i where it is planned, waits first. A driver
// that leads back to another step comes before one that does not.
func (s *solution) drivers(i int) []scheduler.Driver {
	switch s.h.Progress[i] {
	case network.Done:
		return []scheduler.Driver{{Kind: scheduler.ByFact, Text: "recorded " + s.recorded(i)}}
	case network.Begun:
		list := slices.Concat(s.pushed(i), s.kept(i), s.visitDriver(i))
		if len(list) == 0 {
			list = append(list, s.released(i))
		}
		return append(list, scheduler.Driver{Kind: scheduler.ByFact, Text: "started " + s.day(s.h.Began[i])})
	}
	list := s.pushed(i)
	if s.held[i] && s.planned.Start[i] > s.unheld.Start[i] {
		list = append(list, scheduler.Driver{
			Kind: scheduler.ByHeld,
			Text: fmt.Sprintf("it could come from %s, but would lie on site unused", s.day(s.unheld.Start[i])),
		})
	}
	list = append(append(list, s.kept(i)...), s.visitDriver(i)...)
	if len(list) == 0 || s.h.StartFrom(i, s.h.Release[i]) == s.planned.Start[i] {
		return append(list, s.released(i))
	}
	if other := s.eachOther(int32(i)); other >= 0 {
		list = append(list, scheduler.Driver{
			Kind: scheduler.ByEachOther,
			Text: fmt.Sprintf("it and %s hold each other, and no earlier time suits both", quote(s.name(other))),
		})
	}
	return list
}

// kept is the plan before, where that is what holds step i.
func (s *solution) kept(i int) []scheduler.Driver {
	if !s.keptAt(i) {
		return nil
	}
	return []scheduler.Driver{{
		Kind: scheduler.ByBefore,
		Text: fmt.Sprintf("it could start on %s, but the plan before had it here, and neither a due day nor the finish gains by moving it", s.day(s.unkept.Start[i])),
	}}
}

// eachOther is a step with which step i holds itself in place, directly or through
// others, where nothing else holds them; or -1. A most time across calendars can
// come to rest so.
func (s *solution) eachOther(i int32) int32 {
	if s.grounded == nil {
		s.ground()
	}
	if s.grounded[i] {
		return -1
	}
	first := int32(-1)
	seen := map[int32]bool{}
	for queue := []int32{i}; len(queue) > 0; queue = queue[1:] {
		for _, k := range s.holding(queue[0]) {
			j := s.h.Arcs[k].From
			if first < 0 {
				first = j
			}
			if j == i {
				return first
			}
			if !seen[j] {
				seen[j] = true
				queue = append(queue, j)
			}
		}
	}
	return -1
}

// ground marks the steps that a chain of reasons ties to a release, a recorded time,
// the plan before or to being held back. The others hold each other.
func (s *solution) ground() {
	n := s.h.Steps()
	s.grounded = make([]bool, n)
	held := make([]bool, len(s.h.Arcs)) // by arc, which lie together by the step that they leave
	for _, k := range s.telling.arcs {
		held[k] = true
	}
	queue := make([]int32, 0, n)
	for i := range n {
		if s.stands(i) {
			s.grounded[i] = true
			queue = append(queue, int32(i))
		}
	}
	for ; len(queue) > 0; queue = queue[1:] {
		first := s.h.FirstOut(int(queue[0]))
		for k, a := range s.h.Out(int(queue[0])) {
			if held[first+k] && !s.grounded[a.To] {
				s.grounded[a.To] = true
				queue = append(queue, a.To)
			}
		}
	}
}

// pushed is the waits and limits that hold step i, each with the pause that nobody
// works in between, where there is one.
func (s *solution) pushed(i int) []scheduler.Driver {
	var paused worktime.Instant
	held := s.holding(int32(i))
	list := make([]scheduler.Driver, 0, len(held)+1)
	for _, k := range held {
		a := &s.h.Arcs[k]
		from := s.net.Steps[a.From].ID
		_, raw := s.h.LeastStart(a, &s.planned)
		d := scheduler.Driver{Kind: scheduler.ByLimit, Step: from}
		if a.Wait >= 0 {
			w := &s.net.Waits[a.Wait]
			d.Kind, d.Text, d.Pos = scheduler.ByWait, s.waitDriver(w, s.net.Ends[a.Wait], a), w.Pos
		} else {
			d.Text = s.shared(&s.problem.Limits[a.Limit]) + ", and " + quote(s.name(a.From)) + " goes first, until " + s.day(s.planned.Finish[a.From])
		}
		list = append(list, d)
		if a.ToEnd == scheduler.Start && raw < s.planned.Start[i] && raw > paused {
			paused = raw
		}
	}
	if paused > 0 && s.h.Calendars[s.h.Cal[i]].Work(paused) == s.h.Calendars[s.h.Cal[i]].Work(s.planned.Start[i]) && s.daysApart(paused, s.planned.Start[i]) > 0 {
		list = append(list, scheduler.Driver{
			Kind: scheduler.ByCalendar,
			Text: fmt.Sprintf("nobody can work on it between %s and %s", s.day(paused), s.day(s.planned.Start[i])),
		})
	}
	return list
}

// daysApart is how many whole days lie between the days of two instants.
func (s *solution) daysApart(from, to worktime.Instant) int {
	return int(to.Date(s.h.Zone)-from.Date(s.h.Zone)) - 1
}

func (s *solution) waitDriver(w *scheduler.Wait, ends scheduler.Ends, a *network.Arc) string {
	if a.Most {
		return fmt.Sprintf("%s may be at most %s before %s, which is planned for %s",
			s.pointOf(ends.From, w.From.End), w.Most, s.pointOf(ends.To, w.To.End), s.day(s.endOf(ends.To, w.To.End)))
	}
	var room [256]byte
	text := appendEndOf(room[:0], s.name(ends.From), w.From.End)
	text = append(append(text, " is on "...), s.day(s.endOf(ends.From, w.From.End))...)
	if !w.Least.Zero() {
		text = append(append(append(text, ", and "...), s.spanText(w.Least)...), " must pass"...)
	}
	if w.Reason != "" {
		text = append(append(append(text, " ("...), w.Reason...), ')')
	}
	if w.Origin != "" {
		text = append(append(text, ", from "...), w.Origin...)
	}
	if w.To.End == scheduler.Finish {
		text = append(text, "; it holds the finish"...)
	}
	return string(text)
}

// end is the planned instant of one end of a step.
func (s *solution) end(p scheduler.Point) worktime.Instant {
	i, _ := s.net.Find(p.Step)
	return s.endOf(int32(i), p.End)
}

func (s *solution) endOf(i int32, end scheduler.End) worktime.Instant {
	if end == scheduler.Finish {
		return s.planned.Finish[i]
	}
	if s.h.Progress[i] != network.Open {
		return s.h.Began[i]
	}
	return s.planned.Start[i]
}

// released is what holds a step that no other step holds.
func (s *solution) released(i int) scheduler.Driver {
	d := scheduler.Driver{Kind: s.h.ReleaseBy[i]}
	switch d.Kind {
	case scheduler.ByStart:
		d.Text = "the job starts on " + s.net.Job.Start.Format("Mon 2 Jan 2006")
	case scheduler.ByPin:
		if k := s.h.PinOf[i]; k >= 0 {
			st := s.pinStatement(int(k))
			d.Text, d.Pos = st.Text, s.net.Job.Pins[k].Pos
		}
	case scheduler.ByExpected:
		d.Text = "the latest word is that it comes on " + s.day(s.h.Release[i])
	case scheduler.ByBooked:
		d.Text = "the visit is booked for " + s.day(s.h.Release[i])
	case scheduler.ByNotice:
		d.Text = fmt.Sprintf("it has to be announced %s before, and has not been", s.net.Steps[i].Notice)
	default:
		d.Kind = scheduler.ByAsOf
		d.Text = "what is not done lies after " + s.time(s.h.AsOf).Format("Mon 2 Jan 2006") + ", the day of this plan"
	}
	return d
}

func (s *solution) recorded(i int) string {
	text := "done " + s.day(s.h.Ended[i])
	if s.net.Steps[i].Kind == scheduler.HoldStep {
		text = "released " + s.day(s.h.Ended[i])
	}
	return text
}

// driving is the steps from as of to the last planned finish, each holding the
// next. Where two hold each other, as a least and a most time can, it goes on
// through what else holds them.
func (s *solution) driving() []scheduler.ID {
	last := int32(-1)
	for i := range s.net.Steps {
		if s.planned.Finish[i] == s.last && (last < 0 || s.h.Progress[last] == network.Done) {
			last = int32(i)
		}
	}
	if last < 0 {
		return nil
	}
	var ids []scheduler.ID
	for _, i := range s.holdingPath(last) {
		ids = append(ids, s.net.Steps[i].ID)
	}
	return ids
}

// holdingPath is the steps, each holding the next, that lead to a step from one
// that nothing but a release, a recorded time or being held back holds, or else from
// one of several that hold each other.
func (s *solution) holdingPath(end int32) []int32 {
	from := map[int32]int32{end: -1}
	root := end
	for queue := []int32{end}; len(queue) > 0; queue = queue[1:] {
		root = queue[0]
		if s.stands(int(root)) || s.eachOther(root) >= 0 {
			break
		}
		for _, k := range s.holding(root) {
			j := s.h.Arcs[k].From
			if _, seen := from[j]; !seen && s.h.Progress[j] != network.Done {
				from[j] = root
				queue = append(queue, j)
			}
		}
	}
	var path []int32
	for i := root; i >= 0; i = from[i] {
		path = append(path, i)
	}
	return path
}

// stands says whether step i would be where it is without any other step.
func (s *solution) stands(i int) bool {
	if s.h.Progress[i] == network.Done || s.h.StartFrom(i, s.h.Release[i]) == s.planned.Start[i] {
		return true
	}
	if s.held[i] && s.planned.Start[i] > s.unheld.Start[i] || s.keptAt(i) || s.waitsForVisit(i) {
		return true
	}
	for _, k := range s.holding(int32(i)) {
		if s.h.Progress[s.h.Arcs[k].From] != network.Done {
			return false
		}
	}
	return true
}
