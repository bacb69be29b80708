package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// maker makes schedules of orders.
type maker interface {
	// ahead makes one forwards; eager leaves no step waiting that could start, where
	// the maker knows how.
	ahead(order []int64, eager bool) parent
	// schedule is what ahead made last.
	schedule() Schedule
	// back makes one backwards, from the finish of the best one and the due days.
	back(order []int64, best *Schedule) parent
	// free gives the order of a parent back that is no longer needed.
	free(order []int64)
}

// newMaker is a grid where the problem is plain, else the serial scheme both ways.
func newMaker(p *Problem, early *network.Times, raises int) maker {
	if g := newGrid(p, early); g != nil {
		return g
	}
	return &bothWays{p: p, early: early.Start, raises: raises, forward: newSerial(p)}
}

// Plain says whether the problem is plain, so that schedules are made several times as
// fast as elsewhere.
func (b *Breeder) Plain() bool {
	_, plain := b.make.(*grid)
	return plain
}

// bothWays makes schedules of any problem.
type bothWays struct {
	p        *Problem
	early    []worktime.Instant
	raises   int
	forward  *serial
	backward *mirror // made when it is first needed
	last     Schedule
}

// ahead implements maker.
func (w *bothWays) ahead(order []int64, eager bool) parent {
	w.forward.eager = eager
	s, kept := w.forward.schedule(order, w.early, w.raises)
	w.forward.eager, w.last = false, s
	return parent{order: instants(s.Finish), kept: kept, late: s.Late, end: int64(s.Last)}
}

// schedule implements maker.
func (w *bothWays) schedule() Schedule { return w.last }

// back implements maker.
func (w *bothWays) back(order []int64, best *Schedule) parent {
	if w.backward == nil {
		w.backward = newMirror(w.p)
	}
	starts, kept := w.backward.from(best, order, w.raises)
	return parent{order: starts, kept: kept, end: movedOn(best, starts, w.early)}
}

// movedOn is the finish of a schedule made backwards from that of the best one, if it
// were moved on until no step starts before its earliest date.
func movedOn(best *Schedule, starts []int64, early []worktime.Instant) int64 {
	by := int64(worktime.Ever)
	for i, s := range starts {
		by = max(by, int64(early[i])-s)
	}
	return int64(best.Last) + by
}

// free implements maker.
func (w *bothWays) free([]int64) {}

func instants(t []worktime.Instant) []int64 {
	list := make([]int64, len(t))
	for i, at := range t {
		list[i] = int64(at)
	}
	return list
}
