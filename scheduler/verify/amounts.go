package verify

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// The rules about work, working time and what has been recorded.
const (
	WorkAmount     Rule = "amount of work"      // a step has not its length, or not in its days
	OutsideHours   Rule = "outside hours"       // a step starts or finishes when nobody works
	BeforeAsOf     Rule = "before as of"        // undone work lies in the past
	BeforeStart    Rule = "before job start"    // undone work lies before the job's start
	FactMoved      Rule = "fact moved"          // recorded times are not kept
	StateWrong     Rule = "state"               // a step is not as far as the facts say
	OutOfOrderMark Rule = "out of order marked" // marked where it is not, or not where it is
	AsOfWrong      Rule = "as of"               // the plan is not of the job's as-of day
	HeadWrong      Rule = "head of plan"        // the job's name, zone or day are not the job's
)

// The rules about the plan's ends.
const (
	FinishWrong Rule = "finish" // not the last of the steps' finishes
	BoundWrong  Rule = "bound"  // after the finish, or called proven without meeting it
)

// leastRest is what a started step without a recorded remainder still has at least.
const leastRest = 60

// head checks what the plan says of itself as a whole.
func (c *checker) head() {
	p := c.plan
	if p.Job != c.job.ID || p.Zone != c.job.Zone || minute(p.DayMinutes) != c.minutes(worktime.Span{Amount: 1, Unit: worktime.Days}) {
		c.report(HeadWrong, nil, "the plan is not headed as the job: %s, %s, %d minutes a day", p.Job, p.Zone, p.DayMinutes)
	}
	if day := c.day(c.asOf); c.clock(day, 0) != c.asOf {
		c.report(AsOfWrong, nil, "as of %s is not the start of a day", c.asOf.in(c.zone))
	}
	last, early := -never, -never
	for _, s := range c.steps {
		last, early = max(last, s.finish), max(early, minuteOf(s.plan.EarliestFinish))
	}
	if len(c.steps) == 0 {
		return
	}
	if minuteOf(p.Finish) != last {
		c.report(FinishWrong, nil, "the plan finishes %s, its last step %s", minuteOf(p.Finish).in(c.zone), last.in(c.zone))
	}
	if minuteOf(p.EarliestFinish) != early {
		c.report(FinishWrong, nil, "the earliest finish is %s, that of the last step %s", minuteOf(p.EarliestFinish).in(c.zone), early.in(c.zone))
	}
	if minuteOf(p.Bound) > last {
		c.report(BoundWrong, nil, "the plan finishes %s, before its bound %s", last.in(c.zone), minuteOf(p.Bound).in(c.zone))
	}
	if p.Proven && minuteOf(p.Bound) != last {
		c.report(BoundWrong, nil, "called proven, with the bound %s before the finish %s", minuteOf(p.Bound).in(c.zone), last.in(c.zone))
	}
}

// resumption works out what is left of a step and when that starts.
func (c *checker) resumption(s *step) {
	s.rest, s.resume = s.length, s.start
	if s.done() {
		s.rest = 0
		return
	}
	if !s.begun() {
		return
	}
	began := c.recordedStart(s)
	s.rest = max(s.length-s.cal.between(began, c.asOf), leastRest)
	if s.fact.Remaining != nil {
		s.rest = c.minutes(*s.fact.Remaining)
	}
	if s.plan.Resumes == nil {
		c.report(WorkAmount, ids(s), "%s has started, but the plan does not say when the rest of it starts", s.id)
		s.resume = s.finish
		return
	}
	s.resume = minuteOf(*s.plan.Resumes)
}

// recordedStart is when a step started: by the day alone, the first working minute
// of the step on that day, else of the site, else the day's first.
func (c *checker) recordedStart(s *step) minute {
	w := *s.fact.Started
	if w.Time != nil {
		return c.clock(w.Day, *w.Time)
	}
	from, to := c.clock(w.Day, 0), c.clock(w.Day+1, 0)
	for _, cal := range []*calendar{s.cal, c.cals.site} {
		if t := cal.next(from, 1); t < to {
			return t
		}
	}
	return from
}

// recordedFinish is when a step was done or released: by the day alone, the end of
// the last working minute on that day, else the day's end.
func (c *checker) recordedFinish(s *step) minute {
	w := s.fact.Done
	if w == nil {
		w = s.fact.Released
	}
	if w.Time != nil {
		return c.clock(w.Day, *w.Time)
	}
	from, to := c.clock(w.Day, 0), c.clock(w.Day+1, 0)
	for _, cal := range []*calendar{s.cal, c.cals.site} {
		if t := cal.last(to, 0); t > from {
			return t
		}
	}
	return to
}

// amounts checks lengths and hours of every step that is not done.
func (c *checker) amounts() {
	for _, s := range c.steps {
		if minute(s.plan.Work) != s.length || minute(s.plan.Rest) != s.rest {
			c.report(WorkAmount, ids(s), "%s has %d minutes of which %d are left, the plan says %d and %d",
				s.id, s.length, s.rest, s.plan.Work, s.plan.Rest)
		}
		if s.done() {
			continue
		}
		c.hoursOf(s)
		c.notBefore(s)
	}
}

// hoursOf checks that what is left of a step fills the time from its start to its
// finish on its own calendar, with both ends where somebody works.
func (c *checker) hoursOf(s *step) {
	from := s.resume
	if s.rest == 0 {
		if from != s.finish {
			c.report(WorkAmount, ids(s), "%s has no length but lasts from %s to %s", s.id, from.in(c.zone), s.finish.in(c.zone))
		}
		if !s.cal.real && !s.cal.stands(s.finish) {
			c.report(OutsideHours, ids(s), "%s is at %s, when nobody works", s.id, s.finish.in(c.zone))
		}
		return
	}
	if got := s.cal.between(from, s.finish); got != s.rest {
		c.report(WorkAmount, ids(s), "%s has %d minutes to do and %d from %s to %s", s.id, s.rest, got, from.in(c.zone), s.finish.in(c.zone))
	}
	if !s.cal.real && !s.cal.works(from) {
		c.report(OutsideHours, ids(s), "%s starts at %s, when nobody works", s.id, from.in(c.zone))
	}
	if s.cal.between(s.finish-1, s.finish) != 1 {
		c.report(OutsideHours, ids(s), "%s finishes at %s, when nobody works", s.id, s.finish.in(c.zone))
	}
}

func (c *checker) notBefore(s *step) {
	if s.resume < c.asOf {
		c.report(BeforeAsOf, ids(s), "%s is not done but lies at %s, before as of", s.id, s.resume.in(c.zone))
	}
	if start := c.clock(c.job.Start, 0); !s.begun() && s.start < start {
		c.report(BeforeStart, ids(s), "%s starts at %s, before the job", s.id, s.start.in(c.zone))
	}
}

// facts checks that recorded times are kept and states are what the facts say.
func (c *checker) facts() {
	for _, s := range c.steps {
		c.factKept(s)
		c.stateOf(s)
	}
}

func (c *checker) factKept(s *step) {
	switch {
	case s.done():
		finish := c.recordedFinish(s)
		if s.finish != finish {
			c.report(FactMoved, ids(s), "%s was done at %s, the plan says %s", s.id, finish.in(c.zone), s.finish.in(c.zone))
		}
		if s.fact.Started != nil {
			c.startKept(s, min(c.recordedStart(s), finish))
		} else if got := s.cal.between(s.start, finish); s.start > finish || got != s.length {
			c.report(FactMoved, ids(s), "%s was done at %s with %d minutes of work, the plan has it start %d minutes before", s.id, finish.in(c.zone), s.length, got)
		}
	case s.begun():
		c.startKept(s, c.recordedStart(s))
	}
}

func (c *checker) startKept(s *step, start minute) {
	if s.start != start {
		c.report(FactMoved, ids(s), "%s started at %s, the plan says %s", s.id, start.in(c.zone), s.start.in(c.zone))
	}
}

func (c *checker) stateOf(s *step) {
	state := s.plan.State
	want := state
	switch {
	case s.done():
		want = scheduler.Complete
	case s.fact.Refused != nil:
		want = scheduler.Refused
	case s.begun():
		want = scheduler.Underway
	case state != scheduler.Waiting && state != scheduler.Ready:
		want = scheduler.Waiting
	}
	if state != want {
		c.report(StateWrong, ids(s), "%s is %s by the facts, the plan says %s", s.id, want, state)
	}
}
