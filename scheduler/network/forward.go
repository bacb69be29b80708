package network

import (
	"errors"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// ErrBeyond says that dates run past either end of the calendars: build the graph
// again with more years.
var ErrBeyond = errors.New("dates run past the end of the calendars")

// patience is how many rounds a loop of waits may push itself on before it is
// taken for a contradiction. Over calendars a loop can come to rest late, say after
// a closure; each round moves it by at least a minute and by whole gaps at a time.
const patience = 1000

// forward is the computation of earliest dates.
type forward struct {
	g      *Graph
	lanes  *lanes
	least  []worktime.Instant // further least starts, by step; nil: none
	label  []worktime.Instant // of the sweep, see labels
	t      Times
	swept  Times   // dates of the sweep from which corrections have set out
	parent []int32 // by step: the arc that holds it, see parentOf
	dirty  []bool
	round  int32
	moved  []int32        // by step: the round in which it last moved
	pushed map[int32]bool // arcs of loops that were seen to push

	partial bool // the graph is only part of one: what looks like a loop is one
}

func newForward(g *Graph) *forward {
	f := &forward{g: g}
	f.label, f.t = g.newLabels()
	return f
}

// Earliest is the least dates that satisfy every wait that has not been dropped,
// with the releases as lower bounds. Statements that contradict each other are
// found one set at a time; one of each set is dropped from the graph (arcs
// Dropped, PinKept) and the set is returned.
func (g *Graph) Earliest() (Times, []Conflict, error) {
	return g.EarliestFrom(nil)
}

// EarliestFrom is Earliest with further least starts, by step; nil: none.
func (g *Graph) EarliestFrom(least []worktime.Instant) (Times, []Conflict, error) {
	var conflicts []Conflict
	f := newForward(g)
	f.least = least
	for {
		f.lanes = g.lanes(false)
		conflict, err := f.run()
		if err != nil {
			return f.t, conflicts, err
		}
		if conflict == nil {
			return f.t, conflicts, g.outrun(&f.t)
		}
		f.shrink(conflict)
		g.drop(conflict)
		conflicts = append(conflicts, *conflict)
	}
}

// outrun is ErrBeyond where a most time is kept only because no work follows after the
// end of the calendars: there every working length is nothing.
func (g *Graph) outrun(t *Times) error {
	for k := range g.Arcs {
		a := &g.Arcs[k]
		if !a.Most || a.Dropped || a.Cal == RealTime {
			continue
		}
		if end := g.Calendars[a.Cal].End(); end > worktime.Ever && g.at(t, a.From, a.FromEnd) > end {
			return ErrBeyond
		}
	}
	return nil
}

// run computes the dates, or stops at the first contradiction. One sweep does where
// no arc that runs back pushes a step on. From there, or from nothing where the
// sweep has met something wrong, labels are corrected until none moves.
func (f *forward) run() (*Conflict, error) {
	if f.partial || !f.sweep() {
		return f.fromNothing()
	}
	if !f.pushedBack() {
		return nil, nil
	}
	from, to := f.pushBack()
	return f.correct(1, from, to)
}

// fromNothing corrects labels from the releases on.
func (f *forward) fromNothing() (*Conflict, error) {
	f.prepare()
	for i := range f.parent {
		f.parent[i], f.moved[i] = released, -1
		f.begin(i)
		f.dirty[i] = true
	}
	if c := f.pinBroken(); c != nil {
		return c, nil // a day on which the step cannot start, whatever else there is
	}
	return f.correct(0, 0, f.g.Steps()-1)
}

// sweep dates each step once, in the order of ranks, from all that bounds it and
// comes before it. It is false where a date runs past the calendars, or where one
// breaks a pin or a most time from a recorded time.
func (f *forward) sweep() bool {
	g, l := f.g, f.lanes
	site := g.Calendars[Site]
	for _, i := range g.order {
		if g.Progress[i] == Done {
			f.t.Start[i], f.t.Finish[i] = g.Began[i], g.Ended[i]
		} else if !f.date(i, site) {
			return false
		}
		l.ask(i, &f.t, site, f.label)
	}
	for _, k := range l.fixed {
		if f.breaksFact(&g.Arcs[k]) {
			return false
		}
	}
	return true
}

// date gives step i its least start under the bounds on both its ends, and its finish.
func (f *forward) date(i int32, site *worktime.Calendar) bool {
	g, l := f.g, f.lanes
	least := sums{unbounded, unbounded, unbounded, unbounded}
	for _, h := range l.hops[l.first[i]:l.first[i+1]] {
		s := &least[h.sum%labels]
		*s = max(*s, f.label[h.far]+h.lag)
	}
	from, by := max(f.release(i), least[scheduler.Start]), least[scheduler.Finish]
	if w := least[working+scheduler.Start]; w > unbounded {
		from = max(from, site.First(int64(w)))
	}
	if w := least[working+scheduler.Finish]; w > unbounded {
		by = max(by, site.First(int64(w)))
	}
	start, finish := g.fitFrom(i, from)
	if by > finish {
		start = max(start, g.StartToFinishAt(int(i), by))
		finish = g.FinishOf(int(i), start)
	}
	f.t.Start[i], f.t.Finish[i] = start, finish
	return start.Known() && finish.Known() && start <= g.Upper[i]
}

// release is the instant before which the (rest of) step i does not start.
func (f *forward) release(i int32) worktime.Instant {
	if f.least == nil {
		return f.g.Release[i]
	}
	return max(f.g.Release[i], f.least[i])
}

// begin sets a step to its least dates without waits.
func (f *forward) begin(i int) {
	g := f.g
	if g.Progress[i] == Done {
		f.t.Start[i], f.t.Finish[i] = g.Began[i], g.Ended[i]
		return
	}
	f.t.Start[i] = g.StartFrom(i, f.release(int32(i)))
}

// pushedBack says whether an arc that runs back pushes a step on.
func (f *forward) pushedBack() bool {
	for _, k := range f.lanes.back {
		a := &f.g.Arcs[k]
		if s, _ := f.g.LeastStart(a, &f.t); s > f.t.Start[a.To] {
			return true
		}
	}
	return false
}

// pushBack carries the dates of the sweep along the arcs that run back, and returns
// the range of ranks of the steps that move.
func (f *forward) pushBack() (from, to int) {
	f.keepSweep()
	f.round = 0
	from, to = f.g.Steps(), -1
	for _, k := range f.lanes.back {
		if f.raise(k) {
			q := int(f.g.rank[f.g.Arcs[k].To])
			from, to = min(from, q), max(to, q)
		}
	}
	return from, to
}

// correct carries the dates of dirty steps on until nothing moves, in rounds over
// the range of ranks in which there are some.
func (f *forward) correct(round int32, from, to int) (*Conflict, error) {
	g := f.g
	clear(f.pushed)
	for f.round = round; from <= to; f.round++ {
		next, last := g.Steps(), -1
		for r := from; r <= to; r++ {
			i := g.order[r]
			if !f.dirty[i] {
				continue
			}
			f.dirty[i] = false
			conflict, err := f.push(i, r, to, &next, &last)
			if conflict != nil || err != nil {
				return conflict, err
			}
		}
		from, to = next, last
		if f.round < 4 || f.round > 64 && f.round%8 != 0 {
			continue
		}
		if loop := f.loop(); loop != nil {
			if f.round >= patience {
				return &Conflict{Arcs: loop, Pin: -1, Fact: -1}, nil
			}
			for _, k := range loop {
				f.pushed[k] = true
			}
		}
	}
	return f.pinBroken(), nil
}

// push carries the dates of step i along its arcs. Steps that move and that this
// round, which goes up to rank reach, does not come to any more are left for the
// next one, whose range of ranks is widened to take them in.
func (f *forward) push(i int32, rank, reach int, next, last *int) (*Conflict, error) {
	g := f.g
	if g.Progress[i] != Done {
		f.t.Finish[i] = g.FinishOf(int(i), f.t.Start[i])
	}
	if !f.t.Start[i].Known() || !f.t.Finish[i].Known() {
		return f.beyond(i)
	}
	for k := g.first[i]; k < g.first[i+1]; k++ {
		a := &g.Arcs[k]
		switch g.role(a, false) {
		case roleFixed:
			if f.breaksFact(a) {
				return f.factBroken(k), nil
			}
		case roleHop, roleBack:
			if q := int(g.rank[a.To]); f.raise(k) && (q <= rank || q > reach) {
				*next, *last = min(*next, q), max(*last, q)
			}
		}
	}
	return nil, nil
}

// raise moves the start of an arc's to step on to where the arc allows it, and says
// whether it had to.
func (f *forward) raise(k int32) bool {
	a := &f.g.Arcs[k]
	s, _ := f.g.LeastStart(a, &f.t)
	if s <= f.t.Start[a.To] {
		return false
	}
	f.t.Start[a.To], f.parent[a.To], f.moved[a.To] = s, k, f.round
	f.dirty[a.To] = true
	return true
}

// breaksFact says whether a most time cannot be kept any more, because of what has
// been recorded at its from end.
func (f *forward) breaksFact(a *Arc) bool {
	return f.g.least(a, f.g.at(&f.t, a.From, a.FromEnd)) > f.g.at(&f.t, a.To, a.ToEnd)
}
