package alert

import (
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// moment is when something recorded happened: at as the plan reads it, and between
// early and late for all that the record says. A day written without a time of day
// leaves the whole day open, a start that was never written everything before the
// finish.
type moment struct{ at, early, late time.Time }

// recorded is when an end of a step happened; false where it has not, by what was
// recorded.
func (v *view) recorded(p scheduler.Point) (moment, bool) {
	s := v.step(p.Step)
	switch {
	case s == nil || !started(s), p.End == scheduler.Finish && !done(s):
		return moment{}, false
	}
	f := v.facts[p.Step]
	if f == nil {
		f = &scheduler.Fact{}
	}
	finish := f.Done
	if finish == nil {
		finish = f.Released
	}
	if p.End == scheduler.Finish {
		return v.moment(s.Finish, finish), true
	}
	if f.Started == nil && finish != nil {
		return moment{at: s.Start, late: v.moment(s.Finish, finish).late}, true
	}
	return v.moment(s.Start, f.Started), true
}

func (v *view) moment(at time.Time, w *worktime.When) moment {
	if w == nil || w.Time != nil {
		return moment{at, at, at}
	}
	midnight := func(d worktime.Date) time.Time { return d.At(0, v.zone).Time(v.zone) }
	return moment{at: at, early: midnight(w.Day), late: midnight(w.Day + 1).Add(-time.Minute)} // its last minute: the next day is later
}

// breach is how recorded work breaks a wait.
type breach uint8

const (
	unfinished breach = iota // what should have come first has not happened
	reversed                 // it happened afterwards
	short                    // it happened before, by less than the least time
)

// brokenWait is a wait that recorded work has not kept.
type brokenWait struct {
	wait     *scheduler.Wait
	from, to *scheduler.PlannedStep
	breach   breach
	at       moment // of the wait's to end
	after    moment // of its from end, where that has happened
	gap      int64  // short: minutes between them, in the unit of the least time
	doubtful bool   // short: the recorded days alone leave it open
}

// brokenWaits is every wait, not waived, whose to end was recorded too early. Where
// only days were recorded, the same day is no breach of order.
func (v *view) brokenWaits() []brokenWait {
	var out []brokenWait
	for k := range v.net.Waits {
		if to := v.net.Ends[k].To; v.net.Waived[k] || v.planned[to] == nil || !started(v.planned[to]) {
			continue
		}
		if b, ok := v.broken(&v.net.Waits[k]); ok {
			out = append(out, b)
		}
	}
	return out
}

func (v *view) broken(w *scheduler.Wait) (brokenWait, bool) {
	b := brokenWait{wait: w, from: v.step(w.From.Step), to: v.step(w.To.Step)}
	var happened bool
	if b.at, happened = v.recorded(w.To); !happened || b.from == nil {
		return b, false
	}
	if b.after, happened = v.recorded(w.From); !happened {
		return b, !v.told(w.From.Step, b.at)
	}
	if b.at.late.Before(b.after.early) {
		b.breach = reversed
		return b, true
	}
	least, elapsed := v.job.Minutes(w.Least), w.Least.Elapsed()
	b.breach, b.gap = short, v.between(b.after.at, b.at.at, elapsed)
	if least == 0 || b.gap >= least {
		return b, false
	}
	b.gap = max(b.gap, 0)
	b.doubtful = v.between(b.after.early, b.at.late, elapsed) >= least
	return b, true
}

// told says whether a step is a witness point whose visit was arranged for before
// a moment: work may then go on although nobody came.
func (v *view) told(id scheduler.ID, before moment) bool {
	k, _ := v.net.Find(id)
	f := v.facts[id]
	if !v.net.Steps[k].Witness || f == nil || f.Booked == nil {
		return false
	}
	return f.Booked.Day <= v.date(before.late)
}
