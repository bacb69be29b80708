package planner

import (
	"context"
	"errors"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// The years that calendars reach beyond the days written in a job: at most so many at
// first, and so many at last.
const (
	yearsAtFirst = 8
	yearsAtLast  = 400
)

// solve lays the calendars out further and further until all dates lie on them.
func solve(ctx context.Context, net *scheduler.Network, before *Memory, opt Options) (*solution, error) {
	years := yearsFor(net)
	if before != nil {
		years = max(years, before.years)
	}
	for ; ; years *= 3 {
		g, err := network.Build(net, opt.asOf(net.Job), years)
		if err != nil {
			return nil, err
		}
		s := &solution{net: net, g: g, was: before, years: years, giveIn: years > yearsAtLast/8}
		err = s.solve(ctx, opt)
		if err == nil || !errors.Is(err, network.ErrBeyond) || years >= yearsAtLast {
			return s, err
		}
	}
}

// yearsFor is about how many years a job takes with one step after the other, each
// after its longest wait: no order of them that is any good takes longer.
func yearsFor(net *scheduler.Network) int {
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
	const week, year = 7 * 24 * 60, 366 * 24 * 60
	if a := job.Week.LongestDay() * job.Week.WorkingDays(); a > 0 {
		elapsed += working * week / a
	}
	return int(min(max(elapsed/year+1, 1), yearsAtFirst))
}

// yearsTo is how many years a plan takes, rounded up.
func yearsTo(plan *scheduler.Plan) int {
	const year = 366 * 24 * time.Hour
	return int(plan.Finish.Sub(plan.AsOf)/year) + 1
}
