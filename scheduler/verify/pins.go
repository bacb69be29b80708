package verify

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// The rules about people's words on when a step starts.
const (
	PinBroken      Rule = "pin"      // not on its day, or before it
	NoticeShort    Rule = "notice"   // a visit before its people can have been told
	BookedBroken   Rule = "booked"   // before the visit that has been arranged
	ExpectedBroken Rule = "expected" // before the latest word on when it comes
)

// pins checks every pin that a contradiction does not set aside.
func (c *checker) pins() {
	for _, s := range c.steps {
		c.pinsOf(s)
	}
}

func (c *checker) pinsOf(s *step) {
	for k := range c.job.Pins {
		p := &c.job.Pins[k]
		if c.one(p.Step, "") != s || s.done() || s.begun() || c.pinAside(p) {
			continue
		}
		if p.NotBefore != nil && s.start < c.clock(*p.NotBefore, 0) {
			c.report(PinBroken, ids(s), "%s starts at %s, but not before %s", s.id, s.start.in(c.zone), p.NotBefore)
		}
		if p.On != nil && (s.start < c.clock(*p.On, 0) || s.start > c.clock(*p.On+1, 0)) {
			c.report(PinBroken, ids(s), "%s starts at %s, but should on %s", s.id, s.start.in(c.zone), p.On)
		}
	}
}

// pinAside says whether a contradiction sets the pin aside.
func (c *checker) pinAside(p *scheduler.Pin) bool {
	for _, x := range c.plan.Contradictions {
		if x.Dropped < 0 || x.Dropped >= len(x.Statements) {
			continue
		}
		s := x.Statements[x.Dropped]
		if s.Line == p.Pos.Line && s.Column == p.Pos.Column && slices.Equal(s.Steps, []scheduler.ID{p.Step}) {
			return true
		}
	}
	return false
}

// holds checks bookings, expected days and notices of what is not released.
func (c *checker) holds() {
	for _, s := range c.steps {
		if s.done() {
			continue
		}
		if w := s.fact.Booked; w != nil && s.start < c.from(w) {
			c.report(BookedBroken, ids(s), "%s is at %s, but booked for %s", s.id, s.start.in(c.zone), w)
		}
		if w := s.fact.Expected; w != nil && !s.begun() && s.start < c.from(w) {
			c.report(ExpectedBroken, ids(s), "%s is at %s, but expected %s", s.id, s.start.in(c.zone), w)
		}
		if told, ok := c.toldFor(s); ok && (s.start < c.asOf || told.between(c.asOf, s.start) < c.minutes(s.hold.Notice)) {
			c.report(NoticeShort, ids(s), "%s is at %s, with less than its notice of %s from as of", s.id, s.start.in(c.zone), s.hold.Notice)
		}
	}
}

// toldFor is the calendar on which a hold's notice counts, if it must be given yet.
func (c *checker) toldFor(s *step) (*calendar, bool) {
	if s.hold == nil || s.hold.Witness || s.hold.Notice.Zero() || s.fact.Booked != nil {
		return nil, false
	}
	return c.spanCal(s.hold.Notice), true
}

// from is the first moment that a day, or a day and time, allows.
func (c *checker) from(w *worktime.When) minute {
	if w.Time != nil {
		return c.clock(w.Day, *w.Time)
	}
	return c.clock(w.Day, 0)
}
