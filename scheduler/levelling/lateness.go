package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/proof"
	"gaugerod/scheduler/worktime"
)

// lateProver is a search for schedules that miss due days by less, with no end by
// which everything must be finished but that of the calendars.
type lateProver struct {
	p        *Problem
	early    *network.Times
	best     Schedule
	least    int64 // no schedule misses due days by less
	deadEnds int64
	search   *proof.Search // nil: there is nothing left to search
	model    *proof.Model
}

func newLateProver(p *Problem, best Schedule, early *network.Times) *lateProver {
	l := &lateProver{p: p, early: early, best: best, least: p.unavoidable(early)}
	if best.Late > l.least {
		l.model, l.search = l.within(best.Late - 1)
		if l.search == nil {
			l.least = best.Late
		} else {
			l.search.Follow(startsOf(&best, l.model))
		}
	}
	return l
}

// within sets a search up for schedules that are late by no more than this; nil when
// there plainly are none.
func (l *lateProver) within(late int64) (*proof.Model, *proof.Search) {
	bounds, sum := l.p.punctual(late, l.early)
	m, ok := newModel(l.p, l.early, bounds, l.p.horizon(l.early))
	if !ok {
		return nil, nil
	}
	m.Sum = sum
	return m, proof.NewSearch(m)
}

// run searches until nothing more punctual is left, so many more dead ends have been
// met or stop, when not nil, says so. A part of the effort raises the bound from below.
func (l *lateProver) run(effort int64, stop func() bool) {
	if l.search == nil || effort <= 0 {
		return
	}
	for until := l.deadEnds + effort*3/4; l.search != nil && l.deadEnds < until && !stopped(stop); {
		before := l.search.Steps()
		outcome, starts := l.search.Next(until-l.deadEnds, stop)
		l.deadEnds += max(l.search.Steps()-before, 1)
		switch outcome {
		case proof.Found:
			l.take(starts)
			l.less()
		case proof.Refuted:
			l.least = l.best.Late
		case proof.Unfinished:
		}
		l.settle()
	}
	l.raise(l.deadEnds+effort/4, stop)
}

// offer shows the search a schedule found elsewhere that is less late.
func (l *lateProver) offer(s Schedule) {
	l.best = s
	if l.search != nil {
		l.less()
	}
	l.settle()
}

// less asks the search for less lateness than the best schedule has.
func (l *lateProver) less() {
	l.search.Follow(startsOf(&l.best, l.model))
	l.search.Budget(l.best.Late - 1)
}

// raise halves what lies between the bound and the best, each time asking for a
// schedule that is late by no more than the middle, as long as the effort goes.
func (l *lateProver) raise(until int64, stop func() bool) {
	for share := (until - l.deadEnds) / 4; l.search != nil && share > 0 && l.deadEnds < until && !stopped(stop); {
		middle := l.least + (l.best.Late-1-l.least)/2
		m, s := l.within(middle)
		outcome, starts := proof.Refuted, []int64(nil)
		if s != nil {
			s.Follow(startsOf(&l.best, m))
			outcome, starts = s.Next(min(share, until-l.deadEnds), stop)
			l.deadEnds += max(s.Steps(), 1)
		}
		switch outcome {
		case proof.Found:
			l.take(starts)
			l.less()
		case proof.Refuted:
			l.least = middle + 1
		case proof.Unfinished:
			return
		}
		l.settle()
	}
}

// take keeps a schedule found, with every step as early as its order lets it be.
func (l *lateProver) take(starts []int64) {
	l.best = l.p.drawn(l.p.scheduleOf(starts))
}

func (l *lateProver) settle() {
	if l.best.Late <= l.least {
		l.search = nil
	}
}

func stopped(stop func() bool) bool { return stop != nil && stop() }

// drawn is a schedule with every step as early as the order that it has between
// those who share a limit allows, where that is a schedule.
func (p *Problem) drawn(s Schedule) Schedule {
	t, conflicts, err := p.Graph.WithArcs(Chain(p, &s)).Earliest()
	if err != nil || len(conflicts) > 0 {
		return s
	}
	if early := p.measured(t); early.Late <= s.Late && early.Last <= s.Last {
		return early
	}
	return s
}

// unavoidable is the minutes by which due days are missed whatever the order, because
// of the waits alone.
func (p *Problem) unavoidable(early *network.Times) int64 {
	t := p.measured(*early)
	return t.Late
}

// punctual is what keeps schedules from being later than this, all together: the sum,
// and for each step the bound on its finish that follows from it.
func (p *Problem) punctual(late int64, early *network.Times) (bounds []worktime.Instant, sum *proof.Sum) {
	spare := late - p.unavoidable(early)
	bounds = make([]worktime.Instant, p.Graph.Steps())
	sum = &proof.Sum{Most: late}
	for i, due := range p.Graph.Due {
		bounds[i] = due
		if due.Known() {
			bounds[i] = max(due, early.Finish[i]) + worktime.Instant(spare)
			sum.Terms = append(sum.Terms, proof.Term{Step: int32(i), Due: int64(due)})
		}
	}
	return bounds, sum
}

// horizon is an instant by which everything can be finished if it can at all: the end
// of the calendars, which planning lays out further when dates run past them, or in
// real time one step after the other, each after its longest wait.
func (p *Problem) horizon(early *network.Times) worktime.Instant {
	g := p.Graph
	if site := g.Calendars[network.Site]; !site.IsContinuous() {
		return site.First(site.Total())
	}
	total := int64(0)
	for i := range g.Steps() {
		total += g.Rest[i]
	}
	for k := range g.Arcs {
		total += max(g.Arcs[k].Lag, 0)
	}
	return network.LastFinish(early) + worktime.Instant(total)
}
