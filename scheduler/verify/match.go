package verify

import (
	"slices"

	"gaugerod/scheduler"
)

// The rules about which steps there are.
const (
	StepMissing   Rule = "step missing"   // a step of the job is not in the plan
	StepUnknown   Rule = "step unknown"   // the plan has a step that the job has not, or one twice
	StepMisstated Rule = "step misstated" // kind, trades, places or the like are not the job's
)

// matchSteps holds the plan's steps against the job's: each once and no other.
func (c *checker) matchSteps() bool {
	before := len(c.found)
	for k := range c.plan.Steps {
		p := &c.plan.Steps[k]
		s := c.byID[p.ID]
		switch {
		case s == nil:
			c.report(StepUnknown, []scheduler.ID{p.ID}, "the job has no step %s", p.ID)
			continue
		case s.plan != nil:
			c.report(StepUnknown, []scheduler.ID{p.ID}, "step %s is in the plan twice", p.ID)
			continue
		}
		s.plan = p
		s.start, s.finish = minuteOf(p.Start), minuteOf(p.Finish)
	}
	for _, s := range c.steps {
		if s.plan == nil {
			c.report(StepMissing, ids(s), "step %s is not in the plan", s.id)
		}
	}
	if len(c.found) > before {
		return false
	}
	for _, s := range c.steps {
		c.matchStep(s)
		c.resumption(s)
	}
	return true
}

func (c *checker) matchStep(s *step) {
	p := s.plan
	order := scheduler.ID("")
	if s.order != nil {
		order = s.order.ID
	}
	switch {
	case p.Kind != s.kind, p.Typical != s.typical, p.Order != order,
		!slices.Equal(p.Trades, s.Trades), !slices.Equal(p.Places, s.Places), p.Elapsed != s.elapsed():
		c.report(StepMisstated, ids(s), "step %s is not stated as in the job", s.id)
	}
}
