package rules

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func (c *checker) checkWaits() {
	for k := range c.job.Waits {
		c.checkWait(&c.job.Waits[k], nil)
	}
	c.checkWaitsTwice(c.job.Waits)
}

func waitSubject(w *scheduler.Wait) subject {
	return subject{w.Pos, "wait from the " + w.From.String() + " to the " + w.To.String()}
}

func (c *checker) checkWait(w *scheduler.Wait, within *scheduler.Typical) {
	s := waitSubject(w)
	from, fromKnown := c.resolve(s, "from", w.From.Step, within)
	to, toKnown := c.resolve(s, "to", w.To.Step, within)
	if fromKnown && toKnown {
		c.checkEnds(s, w, from, to, within)
	}
	if w.Reason != "" {
		choice(c, s, "reason", "reason", w.Reason, scheduler.Reasons)
	}
	c.text(s, "note", w.Note)
	c.line(s, "source", w.Source)
	sound := c.span(s, "least", w.Least)
	if w.Most == nil || !c.span(s, "most", *w.Most) || !sound {
		return
	}
	if w.Most.Elapsed() == w.Least.Elapsed() && c.job.Minutes(*w.Most) < c.job.Minutes(w.Least) {
		c.fault(s, "most", w.Most.String(), fmt.Sprintf("is at most %s, which is less than its least of %s", w.Most, w.Least), "let most be no less than least")
	}
}

// checkEnds finds steps that wait for themselves, and waits repeated for nothing.
func (c *checker) checkEnds(s subject, w *scheduler.Wait, from, to *named, within *scheduler.Typical) {
	fromGroup, toGroup := from.group(w.From.Step), to.group(w.To.Step)
	// Instances of one step at two places may wait for each other.
	apart := from.every == nil && to.every == nil && from.place != to.place
	switch {
	case fromGroup == toGroup && !apart:
		c.fault(s, "from", string(w.From.Step), "waits for itself", "name another step")
	case within != nil && from.every != within && to.every != within:
		c.fault(s, "from", string(w.From.Step), fmt.Sprintf("is written in typical %q and joins none of its steps", within.ID), "write it under the waits of the job")
	}
}

// checkWaitsTwice finds waits written twice.
func (c *checker) checkWaitsTwice(waits []scheduler.Wait) {
	type key struct {
		from, to    scheduler.Point
		least, most worktime.Span
		limited     bool
	}
	seen := make(map[key]bool, len(waits))
	for k := range waits {
		w := &waits[k]
		is := key{from: w.From, to: w.To, least: w.Least}
		if w.Most != nil {
			is.most, is.limited = *w.Most, true
		}
		if seen[is] && w.From.Step != "" && w.To.Step != "" {
			c.fault(waitSubject(w), "", string(w.From.Step), "is there twice", "leave one of them out")
		}
		seen[is] = true
	}
}
