package levelling

import (
	"math"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/proof"
	"gaugerod/scheduler/worktime"
)

// Proof is what a search for a shorter schedule came to.
type Proof struct {
	Best     Schedule
	Bound    worktime.Instant // no schedule as punctual as this one finishes before
	Shortest bool             // Best finishes at the bound
	Found    bool             // Best was found by the search
	None     bool             // there is no schedule at all
	DeadEnds int64            // that the search met
}

// Prove searches for schedules that finish before the best one, as punctual as it
// is, until none is left or so many dead ends have been met. A schedule whose due
// days are missed by more than waits alone make unavoidable is not improved:
// punctuality comes first, and is not searched for yet.
func Prove(p *Problem, best Schedule, early *network.Times, effort int64) Proof {
	result := Proof{Best: best, Bound: network.LastFinish(early)}
	bounds, punctual := p.punctual(&best, early)
	if punctual && effort > 0 {
		result.improve(p, early, bounds, effort, nil)
	}
	result.Shortest = result.Best.Last <= result.Bound
	return result
}

// Search is Prove without due days and until stop says so. Where no schedule is
// known yet, best is only an end by which all must be finished.
func Search(p *Problem, best Schedule, known bool, early *network.Times, stop func() bool) Proof {
	result := Proof{Best: best, Bound: network.LastFinish(early), Found: known}
	bounds := make([]worktime.Instant, p.Graph.Steps())
	for i := range bounds {
		bounds[i] = worktime.Never
	}
	result.improve(p, early, bounds, math.MaxInt64, stop)
	result.Shortest = result.Found && result.Best.Last <= result.Bound
	result.None = !result.Found && result.Bound >= result.Best.Last
	return result
}

// punctual is the bounds on finishes with which a schedule misses no due day by
// more than it must; ok is false when this one does.
func (p *Problem) punctual(s *Schedule, early *network.Times) (bounds []worktime.Instant, ok bool) {
	bounds = make([]worktime.Instant, p.Graph.Steps())
	ok = true
	for i, due := range p.Graph.Due {
		bounds[i] = max(due, early.Finish[i])
		ok = ok && s.Finish[i] <= bounds[i]
	}
	return bounds, ok
}

// improve looks for ever shorter schedules until none is left.
func (r *Proof) improve(p *Problem, early *network.Times, bounds []worktime.Instant, effort int64, stop func() bool) {
	if r.Best.Last <= r.Bound {
		return
	}
	m, ok := newModel(p, early, bounds, r.Best.Last-1)
	if !ok {
		r.Bound = r.Best.Last
		return
	}
	search := proof.NewSearch(m)
	if r.Best.Start != nil {
		search.Follow(startsOf(&r.Best, m))
	}
	for {
		outcome, starts := search.Next(effort-search.Steps(), stop)
		r.DeadEnds = search.Steps()
		switch outcome {
		case proof.Refuted:
			r.Bound = r.Best.Last
			return
		case proof.Unfinished:
			return
		}
		r.Best, r.Found = p.scheduleOf(starts), true
		if r.Best.Last <= r.Bound {
			return
		}
		search.Follow(starts)
		search.Within(m.Goal, int64(r.Best.Last)-1)
	}
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
