package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/proof"
	"gaugerod/scheduler/worktime"
)

// Proof is what a search for a better schedule came to.
type Proof struct {
	Best     Schedule
	Bound    worktime.Instant // no schedule as punctual as this one finishes before
	Shortest bool             // Best finishes at the bound
	Found    bool             // there is a schedule, and Best is it
	None     bool             // there is no schedule at all
	DeadEnds int64            // that the search met
}

// Prover is a search for shorter schedules that can be gone on with, and be shown
// better schedules found elsewhere.
type Prover struct {
	Proof
	p      *Problem
	model  *proof.Model
	search *proof.Search // nil: there is nothing to search
	revision
}

// NewProver sets a search up for schedules that finish before the best one, each
// step by its bound. Where no schedule is known yet, best is only an end by which
// all must be finished.
func NewProver(p *Problem, best Schedule, known bool, early *network.Times, bounds []worktime.Instant) *Prover {
	return newProver(p, best, known, early, bounds, nil)
}

// newProver is NewProver with a bound on how late steps are all together, where there
// is one.
func newProver(p *Problem, best Schedule, known bool, early *network.Times, bounds []worktime.Instant, late *proof.Sum) *Prover {
	v := &Prover{p: p, Proof: Proof{Best: best, Bound: network.LastFinish(early), Found: known}}
	if best.Last > v.Bound {
		var ok bool
		if v.model, ok = newModel(p, early, bounds, best.Last-1); ok {
			v.model.Sum = late
			v.search = proof.NewSearch(v.model)
			if known {
				v.search.Follow(startsOf(&best, v.model))
			}
		} else {
			v.Bound = best.Last
		}
	}
	v.settle()
	return v
}

// Run searches until nothing shorter is left, so many more dead ends have been met
// or stop, when not nil, says so.
func (v *Prover) Run(effort int64, stop func() bool) {
	if v.search == nil || effort <= 0 {
		return
	}
	for until := v.search.Steps() + effort; v.search != nil; {
		outcome, starts := v.search.Next(until-v.search.Steps(), stop)
		v.DeadEnds = v.search.Steps()
		if outcome == proof.Unfinished {
			return
		}
		v.settleWith(outcome, starts)
	}
}

// settleWith takes over what a search came to.
func (v *Prover) settleWith(outcome proof.Outcome, starts []int64) {
	switch outcome {
	case proof.Refuted:
		v.Bound = v.Best.Last
	case proof.Found:
		v.take(v.p.scheduleOf(starts), starts)
	}
	v.settle()
}

// Aloof lets Run and Raise look elsewhere than near the best schedule: what another
// search finds that follows it is found by that one.
func (v *Prover) Aloof() {
	if v.search != nil {
		v.search.Aloof()
	}
}

// Offer shows the search a schedule, which it takes if it is the shortest so far.
func (v *Prover) Offer(s Schedule) {
	if v.search == nil || v.Found && s.Last >= v.Best.Last {
		return
	}
	v.take(s, startsOf(&s, v.model))
	v.settle()
}

func (v *Prover) take(s Schedule, starts []int64) {
	v.Best, v.Found = s, true
	v.search.Follow(starts)
	v.search.Within(v.model.Goal, int64(s.Last)-1)
}

// settle ends the search when the best schedule meets the bound.
func (v *Prover) settle() {
	if v.Best.Last > v.Bound {
		return
	}
	v.search = nil
	v.Shortest, v.None = v.Found, !v.Found
}

// startsOf is a schedule's starts as a model has them.
func startsOf(s *Schedule, m *proof.Model) []int64 {
	starts := make([]int64, len(m.Lo))
	copy(starts, m.Lo)
	for i := range s.Start {
		starts[i] = int64(s.Start[i])
	}
	starts[m.Goal] = int64(s.Last)
	return starts
}

// scheduleOf is the schedule of a model's starts.
func (p *Problem) scheduleOf(starts []int64) Schedule {
	g := p.Graph
	t := network.NewTimes(g.Steps())
	for i := range t.Start {
		t.Start[i] = worktime.Instant(starts[i])
		t.Finish[i] = g.FinishOf(i, t.Start[i])
		if g.Progress[i] == network.Done {
			t.Start[i], t.Finish[i] = g.Began[i], g.Ended[i]
		}
	}
	return p.measured(t)
}

// Schedule is times that keep all waits and limits, with what they are judged by.
func (p *Problem) Schedule(t network.Times) Schedule { return p.measured(t) }

// measured is times with what a schedule is judged by.
func (p *Problem) measured(t network.Times) Schedule {
	s := Schedule{Times: t, Last: network.LastFinish(&t)}
	for i, due := range p.Graph.Due {
		if late := int64(t.Finish[i] - due); late > 0 {
			s.Late += late
		}
	}
	return s
}
