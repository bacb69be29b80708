package verify

import (
	"gaugerod/scheduler"
)

// greatestDates draws every step back until all waits that act hold and every step
// is finished by its bound: the end of its due day, of several the first; or, for a
// step without one, the later of the last earliest finish and the last such bound. Bounds are wishes: these dates may lie
// before the earliest ones. by is the bound on the finish end alone, as if a step
// could be stretched. Lenient is as in leastDates.
func (c *checker) greatestDates(last minute, lenient bool) (d dates, by map[*step]minute, known bool) {
	due := map[*step]minute{}
	for _, x := range c.job.Dues {
		if s := c.one(x.Step, ""); s != nil {
			t := c.clock(x.On+1, 0)
			if old, ok := due[s]; !ok || t < old {
				due[s] = t
			}
		}
	}
	for _, t := range due {
		last = max(last, t)
	}
	d, by = dates{}, map[*step]minute{}
	for _, s := range c.steps {
		d[s] = &struct{ start, finish minute }{s.start, s.finish}
		by[s] = s.finish
		if s.done() {
			continue
		}
		bound := last
		if t, ok := due[s]; ok {
			bound = min(bound, t)
		}
		by[s] = bound
		d.set(s, s.lastStart(scheduler.Finish, bound))
		if t, ok := c.pinnedUntil(s, lenient); ok && t < d[s].start {
			d.set(s, s.lastStart(scheduler.Start, t))
		}
	}
	var draws []func(dates) (*step, scheduler.End, minute)
	for _, j := range c.joins {
		if !j.acts() {
			continue
		}
		for _, half := range c.halves(j) {
			if !half.aside || lenient && c.counts(half) {
				draws = append(draws, half.draw)
			}
		}
	}
	for moved, round := true, 0; moved && round < len(c.steps)+5000; round++ {
		moved = false
		for _, draw := range draws {
			s, e, t := draw(d)
			if s == nil {
				continue
			}
			if e == scheduler.Finish {
				by[s] = min(by[s], t)
			}
			if start := s.lastStart(e, t); start < d[s].start {
				d.set(s, start)
				moved = true
			}
		}
	}
	return d, by, c.onCalendar(d)
}

// onCalendar says whether dates lie on the days that were laid out: statements that
// fit earliest dates can have no latest ones, which then run away into the past.
func (c *checker) onCalendar(d dates) bool {
	first := c.clock(c.cals.from, 0)
	for s, x := range d {
		if !s.done() && (x.start < first || x.finish < first) {
			return false
		}
	}
	return true
}

// drawLeast is the greatest moment of a wait's from end, given its to end. What is
// left of a started step still waits.
func (c *checker) drawLeast(d dates, j *join) (*step, scheduler.End, minute) {
	if j.from.settled(j.fromEnd) || j.to.done() {
		return nil, 0, 0
	}
	t := d[j.to].finish
	if j.toEnd == scheduler.Start {
		t = d[j.to].start
	}
	return j.from, j.fromEnd, c.beforeLeast(j, t)
}

// drawMost is the greatest moment of a wait's to end, given its from end.
func (c *checker) drawMost(d dates, j *join) (*step, scheduler.End, minute) {
	if j.to.settled(j.toEnd) {
		return nil, 0, 0
	}
	cal := c.spanCal(*j.most)
	return j.to, j.toEnd, cal.still(cal.upTo(d.end(j.from, j.fromEnd)) + c.minutes(*j.most))
}

// beforeLeast is the greatest moment of a wait's from end, given its to end.
func (c *checker) beforeLeast(j *join, t minute) minute {
	if j.least.Zero() {
		return t
	}
	cal := c.spanCal(j.least)
	return min(t, cal.still(cal.upTo(t)-c.minutes(j.least)))
}

// pinnedUntil is the last moment at which a pin lets a step start. With lenient, a
// pin that is set aside counts if earliest and latest dates keep it: it was set
// aside for the sake of limits only.
func (c *checker) pinnedUntil(s *step, lenient bool) (minute, bool) {
	until, ok := never, false
	for k := range c.job.Pins {
		p := &c.job.Pins[k]
		if p.On == nil || c.one(p.Step, "") != s || s.begun() {
			continue
		}
		if !c.pinAside(p) || lenient && c.pinKept(p) {
			until, ok = min(until, c.clock(*p.On+1, 0)), true
		}
	}
	return until, ok
}
