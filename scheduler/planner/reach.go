package planner

import (
	"context"
	"errors"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// The days that calendars reach beyond those written in a job: at least so many, at most
// so many at first, and so many at last.
const (
	year        = 366
	leastReach  = year / 2
	mostAtFirst = 8 * year
	mostAtLast  = 400 * year
)

// firstPart is the part of the whole reach of a job that is tried first: houses take a
// tenth to a quarter of it.
const firstPart = 3

// solve lays the calendars out further and further until all dates lie on them. The
// first try, which reaches less far than is known to be enough, counts only where
// everything goes smoothly well within it: near the end of the calendars, statements
// that can all be kept later look as if they contradicted each other.
func solve(ctx context.Context, net *scheduler.Network, before *Memory, opt Options) (*solution, error) {
	whole := reachFor(net)
	reach := max(whole/firstPart, leastReach)
	if before != nil {
		reach = max(reach, before.reach)
	}
	for {
		g, err := network.Build(net, opt.asOf(net.Job), reach)
		if err != nil {
			return nil, err
		}
		s := &solution{net: net, g: g, was: before, reach: reach, giveIn: reach > mostAtLast/8}
		err = s.solve(ctx, opt)
		switch {
		case err == nil && (reach >= whole || s.isWellWithin()):
			return s, nil
		case err != nil && !errors.Is(err, network.ErrBeyond) || reach >= mostAtLast:
			return s, err
		case reach < whole:
			reach = whole
		default:
			reach *= 3
		}
	}
}

// isWellWithin says whether nothing contradicts itself and the plan ends at least a
// quarter of a year before its calendars.
func (s *solution) isWellWithin() bool {
	end := s.g.Calendars[network.Site].End()
	return len(s.conflicts) == 0 && len(s.letIn) == 0 && (end == worktime.Ever || s.last+year/4*24*60 <= end)
}

// reachFor is about how many days a job takes with one step after the other, each after
// its longest wait: no order of them that is any good takes longer.
func reachFor(net *scheduler.Network) int {
	job := net.Job
	var elapsed, working int64
	add := func(s worktime.Span) {
		if s.Elapsed() {
			elapsed += job.Minutes(s)
		} else {
			working += job.Minutes(s)
		}
	}
	longest := make([]int32, len(net.Steps)) // by step: its longest wait, counted from 1
	for k := range net.Waits {
		if w := &longest[net.Ends[k].To]; *w == 0 || job.Minutes(net.Waits[k].Least) > job.Minutes(net.Waits[*w-1].Least) {
			*w = int32(k) + 1
		}
	}
	for i := range net.Steps {
		add(net.Steps[i].Takes)
		add(net.Steps[i].Notice)
		if longest[i] > 0 {
			add(net.Waits[longest[i]-1].Least)
		}
	}
	const week, day = 7 * 24 * 60, 24 * 60
	if a := job.Week.LongestDay() * job.Week.WorkingDays(); a > 0 {
		elapsed += working * week / a
	}
	return int(min(max(elapsed/day+year/2, year), mostAtFirst))
}

// reachOf is how many days a plan takes, and half a year more.
func reachOf(plan *scheduler.Plan) int {
	return int(plan.Finish.Sub(plan.AsOf)/(24*time.Hour)) + leastReach
}
