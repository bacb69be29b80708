package planner

import (
	"sort"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// windows is each trade's times of access to each place: its steps there, run
// together while it is away for no more than a working day. What is done has no
// window any more.
func (s *solution) windows() []scheduler.Window {
	type seat struct{ trade, place scheduler.ID }
	bySeat := map[seat][]int{}
	var seats []seat
	for i := range s.net.Steps {
		st := &s.net.Steps[i]
		if s.h.Progress[i] == network.Done || s.h.Rest[i] == 0 || st.Kind == scheduler.StageStep {
			continue
		}
		for _, t := range st.Trades {
			for _, p := range st.Places {
				k := seat{t, p}
				if bySeat[k] == nil {
					seats = append(seats, k)
				}
				bySeat[k] = append(bySeat[k], i)
			}
		}
	}
	var list []scheduler.Window
	for _, k := range seats {
		steps := bySeat[k]
		sort.SliceStable(steps, func(a, b int) bool { return s.planned.Start[steps[a]] < s.planned.Start[steps[b]] })
		for from := 0; from < len(steps); {
			to := s.visitEnd(steps, from)
			list = append(list, s.window(k.trade, k.place, steps[from:to]))
			from = to
		}
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].From.Before(list[b].From) })
	s.neighbours(list)
	return list
}

// visitEnd is the index after the last of the steps that run on from steps[from].
func (s *solution) visitEnd(steps []int, from int) int {
	until := s.planned.Finish[steps[from]]
	to := from + 1
	for ; to < len(steps); to++ {
		if s.siteMinutes(until, s.planned.Start[steps[to]]) > levelling.VisitGap*s.net.Job.DayMinutes() {
			break
		}
		until = max(until, s.planned.Finish[steps[to]])
	}
	return to
}

func (s *solution) window(trade, place scheduler.ID, steps []int) scheduler.Window {
	w := scheduler.Window{Trade: trade, Place: place}
	earliest, from, until := worktime.Never, worktime.Never, worktime.Ever
	last := steps[0]
	for _, i := range steps {
		w.Steps = append(w.Steps, s.net.Steps[i].ID)
		begins, starts := s.early.Start[i], s.planned.Start[i]
		if s.h.Progress[i] == network.Begun {
			begins, starts = s.h.Began[i], s.h.Began[i]
		}
		earliest, from = min(earliest, begins), min(from, starts)
		if s.planned.Finish[i] >= until {
			until, last = s.planned.Finish[i], i
		}
	}
	w.ID = string(trade) + "." + string(place) + "." + string(w.Steps[0])
	w.Earliest, w.From, w.Until = s.time(min(earliest, from)), s.time(from), s.time(until)
	w.OutForOthers = s.time(max(until, s.h.LatestFinishFor(last, &s.planned, s.planEnd)))
	w.OutForDue = s.time(s.planLate.Finish[last])
	w.TellBy = s.time(s.before(from, s.notice(trade)))
	return w
}

func (s *solution) notice(trade scheduler.ID) worktime.Span {
	for k := range s.net.Job.Trades {
		if s.net.Job.Trades[k].ID == trade {
			return s.net.Job.Trades[k].Notice
		}
	}
	return worktime.Span{}
}

// neighbours says of each window which trades end before it in its place, and
// which come after: the nearest three of either.
func (s *solution) neighbours(list []scheduler.Window) {
	const nearest = 3
	byPlace := map[scheduler.ID][]int{}
	for k := range list {
		byPlace[list[k].Place] = append(byPlace[list[k].Place], k)
	}
	for _, here := range byPlace {
		for _, k := range here {
			list[k].After = others(list, here, k, nearest, func(o *scheduler.Window) bool { return !o.From.Before(list[k].Until) })
			list[k].Before = others(list, here, k, nearest, func(o *scheduler.Window) bool { return !o.Until.After(list[k].From) })
		}
	}
}

// others is the trades of the windows of a place that lie on one side of window k,
// the nearest first, each once.
func others(list []scheduler.Window, here []int, k, most int, beside func(*scheduler.Window) bool) []scheduler.ID {
	var found []int
	for _, o := range here {
		if list[o].Trade != list[k].Trade && beside(&list[o]) {
			found = append(found, o)
		}
	}
	away := func(o int) time.Duration { return list[o].From.Sub(list[k].From).Abs() }
	sort.SliceStable(found, func(a, b int) bool { return away(found[a]) < away(found[b]) })
	var ids []scheduler.ID
	seen := map[scheduler.ID]bool{}
	for _, o := range found {
		if len(ids) < most && !seen[list[o].Trade] {
			seen[list[o].Trade] = true
			ids = append(ids, list[o].Trade)
		}
	}
	return ids
}
