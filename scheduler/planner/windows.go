package planner

import (
	"cmp"
	"slices"
	"sort"

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
	var stays []stay
	for _, k := range seats {
		steps := bySeat[k]
		slices.SortFunc(steps, func(a, b int) int {
			return cmp.Or(cmp.Compare(s.planned.Start[a], s.planned.Start[b]), cmp.Compare(a, b))
		})
		for from := 0; from < len(steps); {
			to := s.visitEnd(steps, from)
			stays = append(stays, stay{k.trade, k.place, steps[from:to], s.begins(steps[from:to])})
			from = to
		}
	}
	if len(stays) == 0 {
		return nil
	}
	slices.SortStableFunc(stays, func(a, b stay) int { return cmp.Compare(a.from, b.from) })
	list := make([]scheduler.Window, len(stays)) // windows are large to move about
	for k := range stays {
		list[k] = s.window(&stays[k])
	}
	s.neighbours(list)
	return list
}

// stay is what a window is made of: steps of a trade in a place that run on, in the
// order in which they are planned, and when they begin.
type stay struct {
	trade, place scheduler.ID
	steps        []int
	from         worktime.Instant
}

// begins is when the first of some steps begins, as recorded or else as planned.
func (s *solution) begins(steps []int) worktime.Instant {
	from := worktime.Never
	for _, i := range steps {
		starts := s.planned.Start[i]
		if s.h.Progress[i] == network.Begun {
			starts = s.h.Began[i]
		}
		from = min(from, starts)
	}
	return from
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

func (s *solution) window(of *stay) scheduler.Window {
	w := scheduler.Window{Trade: of.trade, Place: of.place}
	earliest, from, until := worktime.Never, of.from, worktime.Ever
	last := of.steps[0]
	w.Steps = make([]scheduler.ID, 0, len(of.steps))
	for _, i := range of.steps {
		w.Steps = append(w.Steps, s.net.Steps[i].ID)
		begins := s.early.Start[i]
		if s.h.Progress[i] == network.Begun {
			begins = s.h.Began[i]
		}
		earliest = min(earliest, begins)
		if s.planned.Finish[i] >= until {
			until, last = s.planned.Finish[i], i
		}
	}
	w.ID = string(of.trade) + "." + string(of.place) + "." + string(w.Steps[0])
	w.Earliest, w.From, w.Until = s.time(min(earliest, from)), s.time(from), s.time(until)
	w.OutForOthers = s.time(max(until, s.h.LatestFinishFor(last, &s.planned, s.planEnd)))
	w.OutForDue = s.time(s.planLate.Finish[last])
	w.TellBy = s.time(s.before(from, s.notice(of.trade)))
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

// nearest is how many trades before and after a window are told.
const nearest = 3

// neighbours says of each window which trades end before it in its place, and
// which come after: the nearest three of either, by when they come. The windows are
// in the order in which they begin.
func (s *solution) neighbours(list []scheduler.Window) {
	byPlace := map[scheduler.ID][]*scheduler.Window{}
	for k := range list {
		byPlace[list[k].Place] = append(byPlace[list[k].Place], &list[k])
	}
	for _, here := range byPlace {
		for k, w := range here {
			w.After, w.Before = after(here, w), before(here, k)
		}
	}
}

// after is the trades of the windows that begin when one has ended.
func after(here []*scheduler.Window, w *scheduler.Window) (ids []scheduler.ID) {
	first := sort.Search(len(here), func(k int) bool { return !here[k].From.Before(w.Until) })
	for _, o := range here[first:] {
		if ids = another(ids, o.Trade, w.Trade); len(ids) == nearest {
			break
		}
	}
	return ids
}

// before is the trades of the windows that have ended when window k begins. Of those
// that begin together the first in the list comes first.
func before(here []*scheduler.Window, k int) (ids []scheduler.ID) {
	w := here[k]
	for until := sort.Search(len(here), func(k int) bool { return here[k].From.After(w.From) }); until > 0 && len(ids) < nearest; {
		from := until - 1
		for from > 0 && here[from-1].From.Equal(here[from].From) {
			from--
		}
		for _, o := range here[from:until] {
			if !o.Until.After(w.From) && len(ids) < nearest {
				ids = another(ids, o.Trade, w.Trade)
			}
		}
		until = from
	}
	return ids
}

// another adds a trade that is neither there nor the own one.
func another(ids []scheduler.ID, trade, own scheduler.ID) []scheduler.ID {
	if trade == own || slices.Contains(ids, trade) {
		return ids
	}
	return append(ids, trade)
}
