package levelling

import (
	"math/rand/v2"

	"gaugerod/scheduler/proof"
	"gaugerod/scheduler/worktime"
)

// revision is how the parts of a schedule are chosen that are planned anew.
type revision struct {
	rng   *rand.Rand
	share float64 // how much of the schedule is freed at a time
	turn  int
}

// Revise frees a part of the best schedule, a stretch of time or those who share a
// limit, and plans it anew with the rest in the order it has, until so many more dead
// ends have been met. Parts that are soon done with grow, others shrink.
func (v *Prover) Revise(effort int64, stop func() bool) {
	const each = 200
	if v.search == nil || !v.Found {
		return
	}
	if v.rng == nil {
		v.rng, v.share = rand.New(rand.NewPCG(1998, uint64(v.p.Graph.Steps()))), 0.3
	}
	for until := v.search.Steps() + effort; v.search != nil && v.search.Steps() < until && !(stop != nil && stop()); {
		outcome, starts, exhausted := v.search.Near(startsOf(&v.Best, v.model), v.part(), each, stop)
		v.DeadEnds = v.search.Steps()
		switch {
		case outcome != proof.Unfinished:
			v.settleWith(outcome, starts)
		case exhausted:
			v.share = min(v.share*1.05, 0.9)
		default:
			v.share = max(v.share*0.95, 0.05)
		}
	}
}

// Raise looks for a schedule that finishes as early as none has been ruled out yet,
// later and later, until so many more dead ends have been met. What it rules out
// raises the bound.
func (v *Prover) Raise(effort int64, stop func() bool) {
	if v.search == nil || effort <= 0 {
		return
	}
	outcome, starts := v.search.Lowest(effort, stop)
	v.DeadEnds = v.search.Steps()
	v.Bound = max(v.Bound, worktime.Instant(v.search.Least(v.model.Goal)))
	v.settleWith(outcome, starts)
}

// Lower shows the search a bound proven elsewhere.
func (v *Prover) Lower(bound worktime.Instant) {
	if bound > v.Bound {
		v.Bound = bound
		v.settle()
	}
}

// part is the steps to be freed: by turns a stretch of time or, of those, the ones
// that share some of the limits.
func (v *Prover) part() []bool {
	free := make([]bool, len(v.model.Lo))
	b, asOf := &v.Best, v.p.Graph.AsOf
	v.turn++
	share, among := v.share, len(v.p.Limits)
	if v.turn%4 == 0 && among > 1 {
		share, among = min(2*share, 1), v.rng.IntN(among)
	}
	span := worktime.Instant(float64(b.Last-asOf) * share)
	from := asOf + worktime.Instant(v.rng.Int64N(max(int64(b.Last-asOf-span), 1)))
	for i := range b.Start {
		free[i] = b.Start[i] < from+span && b.Finish[i] > from && (among == len(v.p.Limits) || v.takes(i, int32(among)))
	}
	return free
}

// takes says whether a step takes of a limit.
func (v *Prover) takes(i int, limit int32) bool {
	for _, u := range v.p.opens[i] {
		if v.p.Uses[u].Limit == limit {
			return true
		}
	}
	return false
}
