package rules

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func (c *checker) checkFacts() {
	seen := map[scheduler.ID]bool{}
	for k := range c.job.Facts {
		f := &c.job.Facts[k]
		s := subject{f.Pos, called("fact of", f.Step)}
		if seen[f.Step] && f.Step != "" {
			c.fault(s, "", string(f.Step), "is there twice", "write all that is known of a step in one place")
		}
		seen[f.Step] = true
		n, ok := c.single(s, "step", f.Step)
		if ok {
			c.checkFactKind(s, f, n)
			c.checkRemaining(s, f, n)
		}
		c.checkFactDays(s, f)
		c.checkReporter(s, f)
		c.text(s, "note", f.Note)
		c.text(s, "evidence", f.Evidence)
		if !says(f) {
			c.fault(s, "", "", "says nothing", "write for instance started, done, booked, expected or released, with a day")
		}
	}
}

// says whether a fact records anything.
func says(f *scheduler.Fact) bool {
	return f.Started != nil || f.Done != nil || f.Remaining != nil || f.Booked != nil ||
		f.Expected != nil || f.Released != nil || f.Refused != nil || f.Measured != nil
}

// checkFactKind finds what cannot be recorded of such a step: tasks and stages are
// started and done, holds booked, released and refused.
func (c *checker) checkFactKind(s subject, f *scheduler.Fact, n *named) {
	hold := n.kind == scheduler.HoldStep
	for _, r := range []struct {
		field string
		when  *worktime.When
		holds bool
		mend  string
	}{
		{"started", f.Started, false, "a hold is booked, expected, released or refused"},
		{"done", f.Done, false, "a hold is booked, expected, released or refused"},
		{"booked", f.Booked, true, "a task or stage is started and done; write expected for when it is thought to start"},
		{"released", f.Released, true, "a task or stage is started and done"},
		{"refused", f.Refused, true, "a task or stage is started and done"},
	} {
		if r.when != nil && r.holds != hold {
			c.fault(s, r.field, r.when.String(), fmt.Sprintf("says %s, and it is a %s", r.field, n.kind), r.mend)
		}
	}
	if f.Measured != nil && n.hold != scheduler.Measure {
		c.fault(s, "measured", fmt.Sprint(*f.Measured), "has a measured value, and it is no measure", "leave measured out, or give the hold kind: measure")
	}
	if m := f.Measured; m != nil && (*m < -maxMillimetres || *m > maxMillimetres) {
		c.fault(s, "measured", fmt.Sprint(*m), fmt.Sprintf("has the measured value %d mm, which is over a kilometre", *m), "write millimetres")
	}
}

func (c *checker) checkRemaining(s subject, f *scheduler.Fact, n *named) {
	r := f.Remaining
	if r == nil || !c.span(s, "remaining", *r) {
		return
	}
	switch {
	case n.kind == scheduler.HoldStep:
		c.fault(s, "remaining", r.String(), "says how much remains, and it is a hold", "a hold is booked, expected, released or refused")
	case f.Done != nil:
		c.fault(s, "remaining", r.String(), "is done, and something of it remains", "leave out the one or the other")
	case f.Started == nil:
		c.fault(s, "remaining", r.String(), "says how much remains and not when it was started", "write started with its day")
	case r.Zero():
		c.fault(s, "remaining", r.String(), "is started and nothing of it remains", "write done with its day")
	case r.Elapsed() != n.takes.Elapsed():
		c.fault(s, "remaining", r.String(), fmt.Sprintf("has %s remaining of a step that takes %s", r, n.takes), "write both in working time or both in elapsed time")
	}
}

// checkFactDays checks the order of what happened, and that it has happened.
func (c *checker) checkFactDays(s subject, f *scheduler.Fact) {
	c.when(s, "booked", f.Booked)
	c.when(s, "expected", f.Expected)
	for _, r := range []struct {
		field string
		when  *worktime.When
	}{{"started", f.Started}, {"done", f.Done}, {"released", f.Released}, {"refused", f.Refused}} {
		c.when(s, r.field, r.when)
		if r.when != nil && c.job.AsOf != nil && r.when.Day > *c.job.AsOf && r.when.Day <= lastDay {
			c.fault(s, r.field, r.when.String(), fmt.Sprintf("says %s on %s, after the as-of day %s", r.field, r.when, c.job.AsOf),
				"write a day that has been, or move as-of on")
		}
	}
	if f.Started != nil && f.Done != nil && before(*f.Done, *f.Started) {
		c.fault(s, "done", f.Done.String(), fmt.Sprintf("is done on %s, before it is started on %s", f.Done, f.Started), "let done be no earlier than started")
	}
	if f.Released != nil && f.Refused != nil && before(*f.Released, *f.Refused) {
		c.fault(s, "refused", f.Refused.String(), fmt.Sprintf("is refused on %s, after it was released on %s", f.Refused, f.Released), "leave out the one that does not hold")
	}
}

// checkReporter checks who released or refused a hold, or reported.
func (c *checker) checkReporter(s subject, f *scheduler.Fact) {
	switch {
	case f.Released != nil:
		c.person(s, f.By, "released it")
	case f.Refused != nil:
		c.person(s, f.By, "refused it")
	default:
		c.somebody(s, "by", f.By)
	}
}
