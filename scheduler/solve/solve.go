// Package solve runs the solver on academic instances, to measure it against
// published results. It is the same engine that plans jobs.
package solve

import (
	"gaugerod/scheduler/instance"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Status is what became of an instance.
type Status string

// The ways an instance can end.
const (
	Proven     Status = "proven"     // the makespan is the least there is
	Open       Status = "open"       // a schedule, but no proof
	Infeasible Status = "infeasible" // proven to have no schedule
	Unknown    Status = "unknown"    // neither a schedule nor a proof
)

// Result is what the solver found. Times are in the instance's units.
type Result struct {
	Status   Status
	Makespan int64   // of the best schedule, -1: none
	Bound    int64   // no schedule is shorter
	Path     int64   // the longest chain without resources
	DeadEnds int64   // met by the search
	Start    []int64 // of each step in the best schedule
}

// Instance solves an instance until it is proven or stop, when not nil, says so. Stop is
// asked by two goroutines.
func Instance(in *instance.Problem, stop func() bool) Result {
	if overdrawn(in) {
		return Result{Status: Infeasible, Makespan: -1}
	}
	p, early, late, ok := problem(in)
	if !ok {
		return Result{Status: Infeasible, Makespan: -1}
	}
	r := Result{Path: int64(early.Start[len(in.Length)-1]), Status: Unknown, Makespan: -1}
	v := prove(p, early, late, horizon(in), stop)
	r.Bound, r.DeadEnds = int64(v.Bound), v.DeadEnds
	switch {
	case v.None:
		return Result{Status: Infeasible, Makespan: -1, Path: r.Path, DeadEnds: r.DeadEnds}
	case !v.Found:
		return r
	}
	r.Status, r.Makespan = Open, int64(v.Best.Last)
	if v.Shortest {
		r.Status = Proven
	}
	for _, s := range v.Best.Start {
		r.Start = append(r.Start, int64(s))
	}
	return r
}

// problem lays an instance out with its earliest and latest dates; ok is false when its
// lags alone leave it none.
func problem(in *instance.Problem) (p *levelling.Problem, early, late *network.Times, ok bool) {
	lags := make([]network.Lag, len(in.Lags))
	for k, l := range in.Lags {
		lags[k] = network.Lag(l)
	}
	g := network.Plain(in.Length, lags)
	e, conflicts, err := g.Earliest()
	if err != nil || len(conflicts) > 0 {
		return nil, nil, nil, false
	}
	bounds, _ := g.Bounds(network.LastFinish(&e))
	l, _, err := g.Latest(bounds)
	return levelling.Of(g, limits(in), uses(in)), &e, &l, err == nil
}

// What comes before the rounds.
const (
	fewSchedules = 100
	shortSearch  = 4000
	founders     = 60 // of each population
	raises       = 20
)

// horizon is by when everything can be over if it can at all: all lengths and lags
// one after the other.
func horizon(in *instance.Problem) worktime.Instant {
	sum := int64(0)
	for _, d := range in.Length {
		sum += d
	}
	for _, l := range in.Lags {
		sum += max(l.Least, 0)
	}
	return worktime.Instant(sum + 1)
}

// overdrawn says whether a step by itself takes more of a resource than there is.
func overdrawn(in *instance.Problem) bool {
	for r, size := range in.Size {
		for i, amount := range in.Use[r] {
			if amount > size && in.Length[i] > 0 {
				return true
			}
		}
	}
	return false
}

func limits(in *instance.Problem) []levelling.Limit {
	list := make([]levelling.Limit, len(in.Size))
	for r, size := range in.Size {
		list[r] = levelling.Limit{Kind: levelling.Gear, Size: int32(size)}
	}
	return list
}

func uses(in *instance.Problem) []levelling.Use {
	var list []levelling.Use
	for r := range in.Use {
		for i, amount := range in.Use[r] {
			if amount > 0 && in.Length[i] > 0 {
				list = append(list, levelling.Use{Limit: int32(r), Amount: int32(amount), From: int32(i), To: int32(i), Occupation: -1})
			}
		}
	}
	return list
}
