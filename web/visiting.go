package web

import (
	"slices"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// tradeTime is a trade's time on the job.
type tradeTime struct {
	trade   *scheduler.Trade
	windows []scheduler.Window // in the order of their days
	visits  []stayed
	away    []absence // between one visit and the next
	twice   []twice
}

// stayed is a run of windows without a longer time away in between.
type stayed struct {
	from, until time.Time
	first, last scheduler.ID // the steps with which it begins and ends
}

// absence is a time away from the job.
type absence struct {
	trade       scheduler.ID
	from, until time.Time
	minutes     int64        // of the site's working time
	left, back  scheduler.ID // the steps before and after it
}

// twice is a time in which more crews of a trade are at work than it has.
type twice struct {
	from, until time.Time
	crews       int // the most at once
	steps       []scheduler.ID
}

func (tt tradeTime) crews() int { return max(1, tt.trade.Crews) }

// tradeTimesKey is under what they are kept beside a sheet.
type tradeTimesKey struct{}

// tradeTimes is the time of every trade, in the order of the job.
func (b *board) tradeTimes() []tradeTime {
	return b.Beside.Once(tradeTimesKey{}, func() any { return b.workOutTradeTimes() }).([]tradeTime)
}

func (b *board) workOutTradeTimes() []tradeTime {
	windows := map[scheduler.ID][]scheduler.Window{}
	for _, w := range b.Plan.Windows {
		windows[w.Trade] = append(windows[w.Trade], w)
	}
	working := b.working()
	all := make([]tradeTime, len(b.Job.Trades))
	for k := range all {
		t := &b.Job.Trades[k]
		tt := &all[k]
		tt.trade, tt.windows = t, windows[t.ID]
		sortVisits(tt.windows)
		b.addVisits(tt)
		tt.addTwice(working[t.ID])
	}
	return all
}

// addVisits runs windows together while the trade is not away for longer than makes
// another visit.
func (b *board) addVisits(tt *tradeTime) {
	for _, w := range tt.windows {
		first, end := b.firstAndLast(w.Steps)
		if n := len(tt.visits); n > 0 {
			last := &tt.visits[n-1]
			minutes := b.siteMinutes(last.until, w.From)
			if minutes <= levelling.VisitGap*b.Job.DayMinutes() {
				if w.Until.After(last.until) {
					last.until, last.last = w.Until, end
				}
				continue
			}
			tt.away = append(tt.away, absence{tt.trade.ID, last.until, w.From, minutes, last.last, first})
		}
		tt.visits = append(tt.visits, stayed{w.From, w.Until, first, end})
	}
}

// siteMinutes is the site's working time from one time to a later one. Far from the
// as-of day it is counted in whole days.
func (b *board) siteMinutes(from, to time.Time) int64 {
	if !to.After(from) {
		return 0
	}
	const near = 390 // days, within those that the site's calendar has
	a, z := b.civil(from), b.civil(to)
	if a > b.AsOf-near && z < b.AsOf+near {
		return b.site().Work(worktime.FromTime(to)) - b.site().Work(worktime.FromTime(from))
	}
	days := int64(0)
	for d := a + 1; d < z; d++ {
		if b.hours(d).Works {
			days++
		}
	}
	return days * b.Job.DayMinutes()
}

// working is every trade's steps that take crews and are not over, with the time that
// they still take them.
type atWork struct {
	step        scheduler.ID
	crews       int
	from, until time.Time
}

func (b *board) working() map[scheduler.ID][]atWork {
	all := map[scheduler.ID][]atWork{}
	for k := range b.Network.Steps {
		n := &b.Network.Steps[k]
		s := b.steps[n.ID]
		if s == nil || s.State == scheduler.Complete || !s.Finish.After(s.Start) || s.Kind == scheduler.StageStep {
			continue
		}
		w := atWork{n.ID, max(1, n.Crews), s.Start, s.Finish}
		if s.Resumes != nil && s.State != scheduler.Underway {
			w.from = *s.Resumes
		}
		for _, t := range s.Trades {
			all[t] = append(all[t], w)
		}
	}
	return all
}

// addTwice goes through the times at which crews come and leave.
func (tt *tradeTime) addTwice(all []atWork) {
	var times []time.Time
	for _, w := range all {
		times = append(times, w.from, w.until)
	}
	slices.SortFunc(times, time.Time.Compare)
	slices.SortStableFunc(all, func(x, y atWork) int { return x.from.Compare(y.from) })
	var here []atWork
	next, open := 0, false
	for _, t := range slices.CompactFunc(times, time.Time.Equal) {
		here = slices.DeleteFunc(here, func(w atWork) bool { return !w.until.After(t) })
		for ; next < len(all) && !all[next].from.After(t); next++ {
			here = append(here, all[next])
		}
		crews := 0
		for _, w := range here {
			crews += w.crews
		}
		if open {
			tt.twice[len(tt.twice)-1].until = t
		}
		if open = open && crews > tt.crews(); crews <= tt.crews() {
			continue
		}
		if !open {
			tt.twice = append(tt.twice, twice{from: t, until: t})
			open = true
		}
		now := &tt.twice[len(tt.twice)-1]
		now.crews = max(now.crews, crews)
		for _, w := range here {
			if !slices.Contains(now.steps, w.step) {
				now.steps = append(now.steps, w.step)
			}
		}
	}
}

// progressOfWindow is how far a window has come as a whole.
func (b *board) progressOfWindow(w *scheduler.Window) draw.Progress {
	begun := false
	for _, id := range w.Steps {
		if s := b.steps[id]; s != nil && (s.State == scheduler.Underway || s.State == scheduler.Complete) {
			begun = true
		}
	}
	switch {
	case b.over(*w):
		return draw.Done
	case begun:
		return draw.Underway
	}
	return draw.Waits
}
