package verify

import "gaugerod/scheduler"

// The rules about dates without limits.
const (
	EarliestWrong Rule = "earliest date"   // not the least that satisfies all waits
	LatestWrong   Rule = "latest date"     // not the greatest that satisfies waits and dues
	FloatWrong    Rule = "float"           // not the minutes between earliest and latest
	TooEarly      Rule = "before earliest" // planned before it can be
	CriticalWrong Rule = "critical"        // called critical or near-critical where it is not, or not where it is
)

// dates is a start and a finish for each step, by step; of a started step the
// start is that of what is left.
type dates map[*step]*struct{ start, finish minute }

// end is one end of a step: recorded where it is.
func (d dates) end(s *step, e scheduler.End) minute {
	switch {
	case s.settled(e):
		return s.end(e)
	case e == scheduler.Start:
		return d[s].start
	}
	return d[s].finish
}

// finishFrom is when what is left of a step, started at t, is finished.
func (s *step) finishFrom(t minute) minute {
	if s.rest == 0 {
		return t
	}
	return s.cal.reach(s.cal.upTo(t) + s.rest)
}

// firstStart is the least start of what is left of a step with which the given end
// is at t or later.
func (s *step) firstStart(e scheduler.End, t minute) minute {
	if e == scheduler.Start || s.rest == 0 {
		return s.cal.next(t, s.rest)
	}
	need := s.cal.upTo(t-1) + 1 - s.rest
	if !s.cal.real {
		need = max(need, 0)
	}
	return s.cal.still(need)
}

// lastStart is the greatest start of what is left of a step with which the given
// end is at t or earlier.
func (s *step) lastStart(e scheduler.End, t minute) minute {
	if e == scheduler.Start || s.rest == 0 {
		return s.cal.last(t, s.rest)
	}
	return s.cal.still(s.cal.upTo(t) - s.rest)
}

// release is before what a step cannot start, waits aside, with the pins that count.
func (c *checker) release(s *step, counts func(*scheduler.Pin) bool) minute {
	if s.begun() {
		return c.asOf
	}
	t := max(c.asOf, c.clock(c.job.Start, 0))
	for k := range c.job.Pins {
		p := &c.job.Pins[k]
		if c.one(p.Step, "") != s || !counts(p) {
			continue
		}
		if p.NotBefore != nil {
			t = max(t, c.clock(*p.NotBefore, 0))
		}
		if p.On != nil {
			t = max(t, c.clock(*p.On, 0))
		}
	}
	if s.fact.Booked != nil {
		t = max(t, c.from(s.fact.Booked))
	}
	if s.fact.Expected != nil {
		t = max(t, c.from(s.fact.Expected))
	}
	if told, ok := c.toldFor(s); ok {
		t = max(t, told.reach(told.upTo(c.asOf)+c.minutes(s.hold.Notice)))
	}
	return t
}

// leastDates is the least dates that keep all waits that act. With lenient, of what
// the plan sets aside that counts which its dates without limits keep.
func (c *checker) leastDates(lenient bool) (dates, bool) {
	var acting []half
	for _, j := range c.joins {
		if !j.acts() {
			continue
		}
		for _, h := range c.halves(j) {
			if !h.aside || lenient && c.counts(h) {
				acting = append(acting, h)
			}
		}
	}
	return c.push(acting, func(p *scheduler.Pin) bool { return !c.pinAside(p) || lenient && c.pinKept(p) })
}

// pinKept says whether the plan's dates without limits keep a pin.
func (c *checker) pinKept(p *scheduler.Pin) bool {
	s := c.one(p.Step, "")
	if s == nil {
		return false
	}
	early, late := c.early[s].start, c.late[s].start
	if p.NotBefore != nil {
		return early >= c.clock(*p.NotBefore, 0)
	}
	from, until := c.clock(*p.On, 0), c.clock(*p.On+1, 0)
	return early >= from && early <= until && late <= until
}

// push sets every step to its least dates and pushes it on until the given waits
// hold. It is what the words say and no more: again and again through all waits,
// until nothing moves, or something moves past all days that were laid out: there
// nobody works, and every most time in working time would hold.
func (c *checker) push(acting []half, counts func(*scheduler.Pin) bool) (dates, bool) {
	d := dates{}
	for _, s := range c.steps {
		d[s] = &struct{ start, finish minute }{s.start, s.finish}
		if !s.done() {
			d.set(s, s.cal.next(c.release(s, counts), s.rest))
		}
	}
	beyond := c.clock(c.cals.to+1, 0)
	for range len(c.steps) + 5000 {
		moved := false
		for _, h := range acting {
			s, t := h.push(d)
			if s == nil || t <= d[s].start {
				continue
			}
			d.set(s, t)
			if d[s].finish > beyond {
				return d, false
			}
			moved = true
		}
		if !moved {
			return d, true
		}
	}
	return d, false
}

func (d dates) set(s *step, start minute) {
	d[s].start, d[s].finish = start, s.finishFrom(start)
}

// half is the least or the most time of a wait: what it pushes on in earliest dates
// and draws back in latest ones, a step and its start, no step where it cannot act.
type half struct {
	aside bool // the plan sets it aside
	push  func(dates) (*step, minute)
	draw  func(dates) (*step, scheduler.End, minute)
	holds func(dates) bool
}

func (c *checker) halves(j *join) []half {
	out := []half{{
		aside: j.noLeast,
		push:  func(d dates) (*step, minute) { return c.pushLeast(d, j) },
		draw:  func(d dates) (*step, scheduler.End, minute) { return c.drawLeast(d, j) },
		holds: func(d dates) bool { return c.holdsLeast(d, j) },
	}}
	if j.most != nil {
		out = append(out, half{
			aside: j.noMost,
			push:  func(d dates) (*step, minute) { return c.pushMost(d, j) },
			draw:  func(d dates) (*step, scheduler.End, minute) { return c.drawMost(d, j) },
			holds: func(d dates) bool { return !c.long(j, d.end(j.from, j.fromEnd), d.end(j.to, j.toEnd)) },
		})
	}
	return out
}

// counts says whether half of a wait counts for the dates without limits. What the
// plan sets aside may have been set aside for the sake of limits only, which a plan
// does not tell apart: it counts if both the earliest and the latest dates keep it.
// If it does not count in truth, taking it in changes nothing, for the least dates
// that keep all the others then keep it too.
func (c *checker) counts(h half) bool {
	if !h.aside {
		return true
	}
	return h.holds(c.early) && h.holds(c.late)
}

// claim takes over the plan's dates without limits.
func (c *checker) claim() {
	c.early, c.late = dates{}, dates{}
	for _, s := range c.steps {
		c.early[s] = &struct{ start, finish minute }{minuteOf(s.plan.EarliestStart), minuteOf(s.plan.EarliestFinish)}
		c.late[s] = &struct{ start, finish minute }{minuteOf(s.plan.LatestStart), minuteOf(s.plan.LatestFinish)}
	}
}

// holdsLeast says whether dates keep a least time; one into recorded work cannot act.
func (c *checker) holdsLeast(d dates, j *join) bool {
	to := d.end(j.to, j.toEnd)
	if j.to.begun() && j.toEnd == scheduler.Start {
		to = d[j.to].start
	}
	return j.to.done() || !c.short(j, d.end(j.from, j.fromEnd), to)
}

func (c *checker) pushLeast(d dates, j *join) (*step, minute) {
	if j.to.done() {
		return nil, 0
	}
	t := c.afterLeast(j, d.end(j.from, j.fromEnd))
	return j.to, j.to.firstStart(j.toEnd, t)
}

// afterLeast is the least moment of a wait's to end, given its from end.
func (c *checker) afterLeast(j *join, t minute) minute {
	if j.least.Zero() {
		return t
	}
	cal := c.spanCal(j.least)
	return max(t, cal.reach(cal.upTo(t)+c.minutes(j.least)))
}

// pushMost draws a wait's from end after its to end.
func (c *checker) pushMost(d dates, j *join) (*step, minute) {
	if j.from.settled(j.fromEnd) {
		return nil, 0
	}
	cal := c.spanCal(*j.most)
	t := cal.reach(cal.upTo(d.end(j.to, j.toEnd)) - c.minutes(*j.most))
	return j.from, j.from.firstStart(j.fromEnd, t)
}

// earliest checks that the plan's earliest dates are the least that satisfy every
// wait, and that nothing is planned before them.
func (c *checker) earliest() {
	d, ok := c.leastDates(true)
	least, _ := c.leastDates(false)
	if !ok {
		c.report(Unsolved, nil, "the waits push each other on without end, and the plan names no contradiction for it")
		return
	}
	for _, s := range c.steps {
		start, finish := minuteOf(s.plan.EarliestStart), minuteOf(s.plan.EarliestFinish)
		if start != d[s].start || finish != d[s].finish {
			c.report(EarliestWrong, ids(s), "%s can be from %s to %s at the earliest, the plan says from %s to %s", s.id,
				d[s].start.in(c.zone), d[s].finish.in(c.zone), start.in(c.zone), finish.in(c.zone))
		}
		if s.resume < least[s].start || s.finish < least[s].finish {
			c.report(TooEarly, ids(s), "%s is planned from %s to %s, before its earliest dates", s.id, s.resume.in(c.zone), s.finish.in(c.zone))
		}
	}
}
