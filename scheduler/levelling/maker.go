package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

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
	out := parent{order: starts, kept: kept, end: int64(worktime.Ever)}
	for i, s := range starts {
		out.end = max(out.end, int64(w.early[i])-s)
	}
	out.end += int64(best.Last)
	return out
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
