package verify

import "gaugerod/scheduler"

// latest checks that the plan's latest dates are the greatest that satisfy waits
// and dues, and floats and critical steps by their definitions.
func (c *checker) latest() {
	last := -never
	for _, s := range c.steps {
		last = max(last, minuteOf(s.plan.EarliestFinish))
	}
	d, by, known := c.greatestDates(last, true)
	_, strictBy, _ := c.greatestDates(last, false)
	for _, s := range c.steps {
		if s.done() || !known {
			continue
		}
		start, finish := minuteOf(s.plan.LatestStart), minuteOf(s.plan.LatestFinish)
		if start != d[s].start || finish != d[s].finish {
			c.report(LatestWrong, ids(s), "%s can be from %s to %s at the latest, the plan says from %s to %s", s.id,
				d[s].start.in(c.zone), d[s].finish.in(c.zone), start.in(c.zone), finish.in(c.zone))
		}
		c.floatsOf(s, by[s], strictBy[s], last)
	}
	c.critical(last)
}

// floatsOf checks the floats of a step: the minutes on its own calendar from
// earliest to latest, by either end, and those by which it may slip with all others
// at their earliest. What is set aside for the sake of limits only cannot be told from
// what is set aside altogether. Earliest and latest dates do not show it, but the float
// of the finish alone and free float do: there either will do.
func (c *checker) floatsOf(s *step, by, strictBy, last minute) {
	p := s.plan
	start := s.cal.between(minuteOf(p.EarliestStart), minuteOf(p.LatestStart))
	finish := s.cal.between(minuteOf(p.EarliestFinish), by)
	if strict := s.cal.between(minuteOf(p.EarliestFinish), strictBy); minute(p.FinishFloat) == strict {
		finish = strict
	}
	if minute(p.StartFloat) != start || minute(p.FinishFloat) != finish || minute(p.TotalFloat) != min(start, finish) {
		c.report(FloatWrong, ids(s), "%s has floats of %d at its start and %d at its finish, the plan says %d, %d and in all %d", s.id,
			start, finish, p.StartFloat, p.FinishFloat, p.TotalFloat)
	}
	free := max(0, s.cal.between(minuteOf(p.EarliestFinish), c.freeUntil(s, last, true)))
	strict := max(0, s.cal.between(minuteOf(p.EarliestFinish), c.freeUntil(s, last, false)))
	if minute(p.FreeFloat) != free && minute(p.FreeFloat) != strict {
		c.report(FloatWrong, ids(s), "%s has a free float of %d, the plan says %d", s.id, free, p.FreeFloat)
	}
}

// freeUntil is the latest finish of a step with which all others may keep their
// earliest dates.
func (c *checker) freeUntil(s *step, last minute, lenient bool) minute {
	start := s.lastStart(scheduler.Finish, last)
	if until, ok := c.pinnedUntil(s, false); ok {
		start = min(start, s.lastStart(scheduler.Start, until))
	}
	for _, j := range c.joins {
		if !j.acts() || j.from != s && j.to != s {
			continue
		}
		for _, half := range c.halves(j) {
			to, e, t := half.draw(c.early)
			if to == s && (!half.aside || lenient && c.counts(half)) {
				start = min(start, s.lastStart(e, t))
			}
		}
	}
	return s.finishFrom(start)
}

// critical checks which steps are called critical: those with no more total float
// than the steps that end last, if those have any.
func (c *checker) critical(last minute) {
	least := never
	for _, s := range c.steps {
		if !s.done() && minuteOf(s.plan.EarliestFinish) == last {
			least = min(least, minute(s.plan.TotalFloat))
		}
	}
	if least == never {
		least = 0
	}
	least = max(least, 0)
	for _, s := range c.steps {
		p := s.plan
		critical := !s.done() && minute(p.TotalFloat) <= least
		near := !s.done() && !critical && minute(p.TotalFloat) <= least+minute(c.plan.NearCritical)
		if p.Critical != critical || p.NearCritical != near {
			c.report(CriticalWrong, ids(s), "%s has a total float of %d, critical is %d: the plan says critical %v, near-critical %v", s.id,
				p.TotalFloat, least, p.Critical, p.NearCritical)
		}
	}
}
