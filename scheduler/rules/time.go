package rules

import (
	"fmt"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Days outside these are slips of the pen.
var (
	firstDay = worktime.NewDate(1990, time.January, 1)
	lastDay  = worktime.NewDate(2100, time.December, 31)
)

// maxYears is the longest a single span may be.
const maxYears = 20

// day checks that a day is one a job can have.
func (c *checker) day(s subject, field string, d worktime.Date) bool {
	if d >= firstDay && d <= lastDay {
		return true
	}
	c.fault(s, field, d.String(), fmt.Sprintf("has the day %s for %q, which is too far away", d, field),
		fmt.Sprintf("write a day from %s to %s", firstDay, lastDay))
	return false
}

// when checks the day and the time of day of something that may be left out.
func (c *checker) when(s subject, field string, w *worktime.When) {
	if w == nil {
		return
	}
	c.day(s, field, w.Day)
	if w.Time != nil && (*w.Time < 0 || *w.Time > 24*60) {
		c.fault(s, field, w.String(), fmt.Sprintf("has a time of day for %q that no clock shows", field), "write 00:00 to 24:00")
	}
}

// before says whether a is certainly earlier than b: on an earlier day, or on the
// same one at an earlier time where both are known.
func before(a, b worktime.When) bool {
	if a.Day != b.Day || a.Time == nil || b.Time == nil {
		return a.Day < b.Day
	}
	return *a.Time < *b.Time
}

// tooLong goes by nominal lengths, so that the limit does not depend on the job's week.
func tooLong(span worktime.Span) bool { return span.Minutes(24*60, 7) > maxYears*366*24*60 }

// span checks the size of a span of any unit.
func (c *checker) span(s subject, field string, span worktime.Span) bool {
	if span.Amount < 0 || span.Unit > worktime.ElapsedWeeks {
		c.fault(s, field, fmt.Sprint(span.Amount), fmt.Sprintf("has a length of time for %q that is less than nothing or of no unit", field), "write a whole number and a unit, for instance 3 days")
		return false
	}
	if tooLong(span) {
		c.fault(s, field, span.String(), fmt.Sprintf("has %s for %q, which is too long", span, field), fmt.Sprintf("write less than %d years", maxYears))
		return false
	}
	return true
}

// working checks a span that counts working time.
func (c *checker) working(s subject, field string, span worktime.Span) {
	if c.span(s, field, span) && span.Elapsed() {
		like := worktime.Span{Amount: span.Amount, Unit: span.Unit - worktime.ElapsedMinutes}
		c.fault(s, field, span.String(), fmt.Sprintf("has the elapsed time %s for %q, which counts working time", span, field),
			fmt.Sprintf("write it without the word elapsed, for instance %s", like))
	}
}

// elapsed checks a span that counts real time.
func (c *checker) elapsed(s subject, field string, span worktime.Span) {
	if c.span(s, field, span) && !span.Elapsed() {
		like := worktime.Span{Amount: span.Amount, Unit: span.Unit + worktime.ElapsedMinutes}
		c.fault(s, field, span.String(), fmt.Sprintf("has the working time %s for %q, which counts real time", span, field),
			fmt.Sprintf("write it as elapsed, for instance %s", like))
	}
}

// closures checks days on which nobody works.
func (c *checker) closures(what string, all []scheduler.Closure) {
	for _, cl := range all {
		s := subject{pos: cl.Pos, name: what}
		if !c.day(s, "from", cl.From) || !c.day(s, "to", cl.To) {
			continue
		}
		if cl.To < cl.From {
			c.fault(s, "to", cl.To.String(), fmt.Sprintf("ends on %s, before it begins on %s", cl.To, cl.From), "write the earlier day under from")
		}
		c.line(s, "why", cl.Why)
	}
}

// week checks working periods: real, in order, not overlapping, and some at all.
func (c *checker) week(s subject, w *worktime.Week) {
	sound := true
	for day, periods := range w {
		for k, p := range periods {
			switch {
			case p.From < 0 || p.To > 24*60 || p.From >= p.To:
				c.fault(s, "week", p.String(), fmt.Sprintf("has the period %s on %s, which ends no later than it begins", p, time.Weekday(day)), "write the earlier time first, for instance 07:30-12:00")
			case k > 0 && p.From < periods[k-1].From:
				c.fault(s, "week", p.String(), fmt.Sprintf("has the period %s on %s after %s, out of order", p, time.Weekday(day), periods[k-1]), "write the periods of a day from morning to evening")
			case k > 0 && p.From < periods[k-1].To:
				c.fault(s, "week", p.String(), fmt.Sprintf("has the period %s on %s, which overlaps %s", p, time.Weekday(day), periods[k-1]), "let the one end before the other begins, or write one period")
			default:
				continue
			}
			sound = false
		}
	}
	if sound && w.WorkingDays() == 0 {
		c.fault(s, "week", "", "has a week without any working time", "write the periods of at least one day, for instance monday: [07:30-16:00]")
	}
}
