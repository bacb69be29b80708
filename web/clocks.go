package web

import (
	"slices"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// clockEntry is a clock that runs: a cure that is not over, or a layer that must
// not stay open much longer.
type clockEntry struct {
	Kind string // "cure" or "exposure"
	What Line
	Says Line
	Left string
	Late bool
	ends time.Time
}

// clocks is what runs on the as-of day, the first to end first.
func (b *board) clocks() []clockEntry {
	all := append(b.exposures(), b.cures()...)
	slices.SortStableFunc(all, func(x, y clockEntry) int { return x.ends.Compare(y.ends) })
	return all
}

// exposures is the layers that are open and have a limit.
func (b *board) exposures() []clockEntry {
	var all []clockEntry
	for k := range b.Plan.Covers {
		c := &b.Plan.Covers[k]
		laid := b.steps[c.Step]
		if c.Limit == nil || laid == nil || b.done(c.CoveredBy) || !begun(laid) {
			continue
		}
		e := clockEntry{Kind: "exposure", ends: *c.Limit, What: say(heavy(c.Title), ", "+b.place(c.Place)), Late: c.Covered.After(*c.Limit)}
		e.Left = left(c.Limit.Sub(b.begins))
		verdict := "in time"
		if e.Late {
			verdict = elapsed(c.Covered.Sub(*c.Limit)) + " too late"
		}
		e.Says = b.openSince(c, verdict)
		all = append(all, e)
	}
	return all
}

// openSince is how long a layer has been open, and may be.
func (b *board) openSince(c *scheduler.PlannedCover, verdict string) Line {
	return say("Open since ", b.to(b.on(c.Laid), c.Step, heldThere), "; to be covered by ", b.to(b.onEnd(*c.Limit), c.CoveredBy, itsWaits), ". ",
		b.step(c.CoveredBy), " is planned to be done on ", b.to(b.onEnd(c.Covered), c.CoveredBy, heldThere), ", "+verdict+".")
}

func begun(s *scheduler.PlannedStep) bool {
	return s.State == scheduler.Underway || s.State == scheduler.Complete
}

// left is what a clock still has to run.
func left(d time.Duration) string {
	if d < 0 {
		return elapsed(-d) + " over"
	}
	return elapsed(d) + " left"
}

// cures is the waits for something to set that have begun and are not over.
func (b *board) cures() []clockEntry {
	var all []clockEntry
	for k, w := range b.Network.Waits {
		if w.Reason != scheduler.Cure || w.Least.Zero() || b.Network.Waived[k] || !b.done(w.From.Step) || b.done(w.To.Step) {
			continue
		}
		from := b.steps[w.From.Step]
		since := from.Finish
		if w.From.End == scheduler.Start {
			since = from.Start
		}
		ends := b.after(b.site(), since, w.Least)
		if !ends.After(b.begins) {
			continue
		}
		all = append(all, clockEntry{
			Kind: "cure", ends: ends, Left: left(ends.Sub(b.begins)), What: b.stepAt(w.From.Step),
			Says: say("Cures "+w.Least.String()+", until ", b.to(b.at(ends), w.To.Step, itsWaits), "; before that ", b.step(w.To.Step), " must wait."),
		})
	}
	return all
}

// after is when a span that began at a time is over.
func (b *board) after(site *worktime.Calendar, since time.Time, s worktime.Span) time.Time {
	t := worktime.FromTime(since)
	if s.Elapsed() {
		return (t + worktime.Instant(b.Job.Minutes(s))).Time(b.zone)
	}
	end := site.First(site.Work(t) + b.Job.Minutes(s))
	if !end.Known() {
		return since
	}
	return end.Time(b.zone)
}
