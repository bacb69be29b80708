package selfcheck

import (
	"context"
	"fmt"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// engineTest lengthens one critical step by 600 working days and plans again: the
// earliest finish of the job must move by as much, to the minute.
//
// To make "as much" exact, the job is first laid out on the site's week alone: no
// closures, no days off, no weeks of trades or places, no clock changes, no pins, no
// due days and no most times. Such a calendar repeats each week, so a step that
// grows by whole weeks of work moves all that hangs on it by just those weeks, real
// waits included. 600 days that are no whole number of weeks are rounded up to one.
func engineTest(ctx context.Context, job *scheduler.Job, plan *scheduler.Plan, replan Replan) (Check, error) {
	c := Check{
		Name:    "the engine's own test",
		Formula: "earliest finish with one critical step longer by 600 working days (whole weeks) − earliest finish, the job laid out on the site's week alone",
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
	longer, step := lengthen(bare, before, weeks*week)
	if longer == nil {
		c.Figure = "no step that has not begun is critical at both ends and a task or stage of its own"
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

// lengthen is the job with one critical step longer by so much work of the site, and
// that step; nil where there is none. Fit is a task or stage of its own (a typical's
// would lengthen every instance), not begun, critical at both ends, and with no wait
// to its finish, which could otherwise hide part of the growth.
func lengthen(job *scheduler.Job, plan *scheduler.Plan, minutes int64) (*scheduler.Job, scheduler.ID) {
	unfit := map[scheduler.ID]bool{}
	for _, w := range job.Waits {
		if w.To.End == scheduler.Finish {
			unfit[w.To.Step] = true
		}
	}
	for k := range job.Typicals {
		for _, w := range job.Typicals[k].Waits {
			if w.To.End == scheduler.Finish {
				unfit[w.To.Step] = true
			}
		}
	}
	critical := map[scheduler.ID]bool{}
	for k := range plan.Steps {
		p := &plan.Steps[k]
		begun := p.State == scheduler.Underway || p.State == scheduler.Complete
		critical[p.ID] = p.Critical && p.StartFloat == 0 && p.FinishFloat == 0 && !begun && p.Work > 0 && !unfit[p.ID]
	}
	longer := *job
	longer.Tasks = copied(job.Tasks, func(*scheduler.Task) {})
	for k := range longer.Tasks {
		t := &longer.Tasks[k]
		if takes, ok := grown(job, t.Takes, minutes); ok && critical[t.ID] {
			t.Takes = takes
			return &longer, t.ID
		}
	}
	longer.Orders = copied(job.Orders, func(o *scheduler.Order) { o.Stages = copied(o.Stages, func(*scheduler.Stage) {}) })
	for k := range longer.Orders {
		o := &longer.Orders[k]
		for i := range o.Stages {
			id := o.ID + "." + o.Stages[i].ID
			if takes, ok := grown(job, o.Stages[i].Takes, minutes); ok && critical[id] {
				o.Stages[i].Takes = takes
				return &longer, id
			}
		}
	}
	return nil, ""
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
