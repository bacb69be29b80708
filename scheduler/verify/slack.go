package verify

import "gaugerod/scheduler"

// The rules about slack in the plan.
const (
	SlackWrong Rule = "slack"      // not the minutes between planned and latest dates
	FreeMoves  Rule = "free slack" // a step cannot use its free slack without somebody moving
)

func (c *checker) everyLimit() { c.limits(nil) }

// slack checks the figures of slack, and moves each step by all its free slack while
// everybody else stays: every wait, pin and limit must still hold.
func (c *checker) slack() {
	clean := len(c.found) == 0
	for _, s := range c.steps {
		p := s.plan
		if s.done() {
			continue
		}
		free, late := minuteOf(p.PlanFree), minuteOf(p.PlanLatest)
		if got := s.cal.between(s.finish, free); minute(p.FreeSlack) != got || got < 0 {
			c.report(SlackWrong, ids(s), "%s has %d minutes until %s, the plan says %d", s.id, got, free.in(c.zone), p.FreeSlack)
		}
		if got := s.cal.between(s.finish, late); minute(p.Slack) != got {
			c.report(SlackWrong, ids(s), "%s has %d minutes until %s, the plan says %d", s.id, got, late.in(c.zone), p.Slack)
		}
		if clean && p.FreeSlack > 0 {
			c.useFree(s, free)
		}
	}
}

// useFree moves what is left of a step so that it finishes at a moment, looks at
// what then breaks, and moves it back.
func (c *checker) useFree(s *step, until minute) {
	start, resume, finish := s.start, s.resume, s.finish
	found := c.found
	c.found = nil
	s.resume, s.finish = s.lastStart(scheduler.Finish, until), until
	if !s.begun() {
		s.start = s.resume
	}
	c.hoursOf(s)
	for _, j := range c.joins {
		if j.from == s || j.to == s {
			c.checkJoin(j)
		}
	}
	c.pinsOf(s)
	c.limits(s)
	broken := c.found
	c.found = found
	s.start, s.resume, s.finish = start, resume, finish
	for _, v := range broken {
		c.report(FreeMoves, ids(s), "%s cannot slip to %s: %s", s.id, until.in(c.zone), v.What)
	}
}
