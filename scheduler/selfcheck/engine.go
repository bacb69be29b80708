package selfcheck

import (
	"context"
	"fmt"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// engineTest lengthens one step of the longest chain by 600 working days and plans
// again: the earliest finish of the job must move by as much, to the minute. (A step
// without float is not enough: over nights and weekends a step may have none and yet
// lie on a chain that ends earlier.)
//
// To make "as much" exact, the job is first laid out on the site's week alone: no
// closures, no days off, no weeks of trades or places, no clock changes, no pins, no
// due days and no most times. Such a calendar repeats each week, so a step that
// grows by whole weeks of work moves all that hangs on it by just those weeks, real
// waits included. 600 days that are no whole number of weeks are rounded up to one.
func engineTest(ctx context.Context, job *scheduler.Job, plan *scheduler.Plan, replan Replan) (Check, error) {
	c := Check{
		Name:    "the engine's own test",
		Formula: "earliest finish with one step of the longest chain longer by 600 working days (whole weeks) − earliest finish, the job laid out on the site's week alone",
		Source:  pamphlet + ", check 12 (from memory)", Result: Info, Limit: "none",
	}
	bare := onSiteWeekAlone(job, worktime.FromTime(plan.AsOf).Date(plan.AsOf.Location()))
	week := weekMinutes(bare)
	if week == 0 {
		c.Figure = "the site has no working time"
		return c, nil
	}
	before, err := replan(ctx, bare)
	if err != nil {
		return c, fmt.Errorf("plan on the site's week alone: %w", err)
	}
	weeks := (600*bare.DayMinutes() + week - 1) / week
	longer, step, err := lengthen(bare, before, weeks*week)
	if err != nil {
		return c, fmt.Errorf("find the longest chain: %w", err)
	}
	if longer == nil {
		c.Figure = "no task or stage of its own that has not begun lies on the longest chain"
		return c, nil
	}
	after, err := replan(ctx, longer)
	if err != nil {
		return c, fmt.Errorf("plan with %s longer: %w", step, err)
	}
	moved := after.EarliestFinish.Sub(before.EarliestFinish)
	want := time.Duration(weeks*7*24) * time.Hour
	days := func(d time.Duration) string {
		minutes := int64(d / time.Minute)
		return fmt.Sprintf("%.1f working days", float64(minutes)*float64(week)/(7*24*60)/float64(bare.DayMinutes()))
	}
	c.Figure, c.Limit, c.Result = days(moved), "just "+days(want), passIf(moved == want)
	c.Items = []Item{{Steps: []scheduler.ID{step}, Text: fmt.Sprintf("%s was lengthened; the earliest finish went from %s to %s",
		step, before.EarliestFinish.Format(time.DateOnly), after.EarliestFinish.Format(time.DateOnly))}}
	return c, nil
}

func weekMinutes(job *scheduler.Job) int64 {
	var sum int64
	for _, periods := range job.Week {
		for _, p := range periods {
			sum += int64(p.To - p.From)
		}
	}
	return sum
}

// onSiteWeekAlone is a copy of a job with nothing in it that depends on the day of
// the year or that could hold a longer step back.
func onSiteWeekAlone(job *scheduler.Job, asOf worktime.Date) *scheduler.Job {
	bare := *job
	bare.Zone, bare.AsOf, bare.Closures, bare.Pins, bare.Dues = "UTC", &asOf, nil, nil, nil
	bare.Trades = copied(job.Trades, func(t *scheduler.Trade) { t.Week, t.Off = nil, nil })
	bare.Places = copied(job.Places, func(p *scheduler.Place) { p.Week, p.Closures = nil, nil })
	noMost := func(w *scheduler.Wait) { w.Most = nil }
	bare.Waits = copied(job.Waits, noMost)
	bare.Typicals = copied(job.Typicals, func(t *scheduler.Typical) { t.Waits = copied(t.Waits, noMost) })
	bare.BuildUps = copied(job.BuildUps, func(b *scheduler.BuildUp) {
		b.Layers = copied(b.Layers, func(l *scheduler.Layer) { l.Exposed = nil })
	})
	return &bare
}

func copied[T any](list []T, change func(*T)) []T {
	out := make([]T, len(list))
	for k := range list {
		out[k] = list[k]
		change(&out[k])
	}
	return out
}

// lengthen is the job with one step longer by so much work of the site, and that
// step; nil where there is none. Of the steps on the longest chain it is the first
// that fits: a task or stage of its own (a typical's would lengthen every instance),
// not begun, and with no wait to its finish, which could hide part of the growth.
func lengthen(job *scheduler.Job, plan *scheduler.Plan, minutes int64) (*scheduler.Job, scheduler.ID, error) {
	chain, err := longestChain(job, plan)
	if err != nil {
		return nil, "", err
	}
	for _, step := range chain {
		if longer := withLonger(job, step, minutes); longer != nil {
			return longer, step, nil
		}
	}
	return nil, "", nil
}

// withLonger lengthens one task or stage; nil where the step is neither or would
// get longer than a span may be.
func withLonger(job *scheduler.Job, step scheduler.ID, minutes int64) *scheduler.Job {
	longer, found := *job, false
	lengthen := func(id scheduler.ID, s *worktime.Span) {
		if id == step {
			*s, found = grown(job, *s, minutes)
		}
	}
	longer.Tasks = copied(job.Tasks, func(t *scheduler.Task) { lengthen(t.ID, &t.Takes) })
	longer.Orders = copied(job.Orders, func(o *scheduler.Order) {
		o.Stages = copied(o.Stages, func(g *scheduler.Stage) { lengthen(o.ID+"."+g.ID, &g.Takes) })
	})
	if !found {
		return nil
	}
	return &longer
}

// grown adds working minutes of the site to a span; to real time it adds the weeks
// that they fill. It is false where the sum is more than a span may hold.
func grown(job *scheduler.Job, s worktime.Span, minutes int64) (worktime.Span, bool) {
	total, perHour, unit := job.Minutes(s)+minutes, int64(60), worktime.Hours
	if s.Elapsed() {
		total, unit = job.Minutes(s)+minutes/weekMinutes(job)*7*24*60, worktime.ElapsedHours
	}
	if total%perHour != 0 {
		perHour, unit = 1, unit-1 // the unit before hours is minutes, in both kinds of time
	}
	amount := total / perHour
	return worktime.Span{Amount: int32(amount), Unit: unit}, amount <= worktime.MaxAmount
}
