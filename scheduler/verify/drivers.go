package verify

import (
	"slices"

	"gaugerod/scheduler"
)

// The rules about reasons.
const (
	DriverMissing Rule = "driver missing" // a step has no reason for its date
	DriverWrong   Rule = "driver"         // a reason that does not hold the step where it is
	DrivingWrong  Rule = "driving chain"  // not joined by reasons from as of to the finish
	NeedWrong     Rule = "need"           // what a step waits for is not told, or told wrongly
)

// drivers checks that every step has a reason for its date and that each reason
// would hold it there.
func (c *checker) drivers() {
	for _, s := range c.steps {
		if len(s.plan.Drivers) == 0 {
			c.report(DriverMissing, ids(s), "nothing is said of what holds %s at %s", s.id, s.resume.in(c.zone))
		}
		held := false
		for _, d := range s.plan.Drivers {
			if d.Text == "" || !c.holdsThere(s, d) {
				c.report(DriverWrong, ids(s), "%s is at %s, where %s %q of %q does not hold it", s.id, s.resume.in(c.zone), d.Kind, d.Text, d.Step)
			}
			held = held || d.Kind != scheduler.ByCalendar && (d.Kind != scheduler.ByFact || s.done())
		}
		if len(s.plan.Drivers) > 0 && !held {
			c.report(DriverMissing, ids(s), "nothing that is said of %s explains that it is at %s", s.id, s.resume.in(c.zone))
		}
		c.needsOf(s)
	}
}

// holdsThere says whether a driver, acting alone, puts what is left of a step where
// it is planned.
func (c *checker) holdsThere(s *step, d scheduler.Driver) bool {
	at := func(t minute) bool { return s.cal.next(t, s.rest) == s.resume }
	switch d.Kind {
	case scheduler.ByFact:
		return s.done() || s.begun()
	case scheduler.ByWait:
		return c.waitHolds(s, c.byID[d.Step])
	case scheduler.ByLimit:
		by := c.byID[d.Step]
		return by != nil && by != s && at(max(by.finish, c.asOf)) && c.shareLimit(by, s)
	case scheduler.ByCalendar:
		return s.cal.between(s.resume-1, s.resume) == 0 || s.rest == 0
	case scheduler.ByAsOf:
		return at(c.asOf)
	case scheduler.ByStart:
		return at(c.clock(c.job.Start, 0))
	case scheduler.ByPin, scheduler.ByExpected, scheduler.ByBooked, scheduler.ByNotice:
		return at(c.release(s, func(p *scheduler.Pin) bool { return !c.pinAside(p) })) && c.says(s, d.Kind)
	case scheduler.ByHeld:
		return s.order != nil && !s.done() && !s.begun()
	case scheduler.ByBefore:
		return !s.done()
	case scheduler.ByVisit:
		return !s.done() && c.inCompany(s)
	case scheduler.ByEachOther:
		return c.holdsItself(s)
	}
	return false
}

// holdsItself says whether the waits and limits said to hold steps lead from a step
// back to itself, as a least and a most time across calendars can.
func (c *checker) holdsItself(s *step) bool {
	seen := map[scheduler.ID]bool{}
	todo := []*step{s}
	for len(todo) > 0 {
		at := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, d := range at.plan.Drivers {
			if d.Step == s.id {
				return true
			}
			if by := c.byID[d.Step]; by != nil && !seen[d.Step] {
				seen[d.Step] = true
				todo = append(todo, by)
			}
		}
	}
	return false
}

// says whether there is a word of that kind about a step.
func (c *checker) says(s *step, kind scheduler.DriverKind) bool {
	switch kind {
	case scheduler.ByPin:
		return slices.ContainsFunc(c.job.Pins, func(p scheduler.Pin) bool { return c.one(p.Step, "") == s })
	case scheduler.ByExpected:
		return s.fact.Expected != nil
	case scheduler.ByBooked:
		return s.fact.Booked != nil
	}
	_, told := c.toldFor(s)
	return told
}

// waitHolds says whether some wait between the two steps puts s where it is: a
// least time from the other, or a most time that draws s after it.
func (c *checker) waitHolds(s, other *step) bool {
	for _, j := range c.joins {
		if !j.acts() {
			continue
		}
		if j.from == other && j.to == s && s.firstStart(j.toEnd, c.afterLeast(j, other.end(j.fromEnd))) == s.resume {
			return true
		}
		if j.to == other && j.from == s && j.most != nil {
			cal := c.spanCal(*j.most)
			t := cal.reach(cal.upTo(other.end(j.toEnd)) - c.minutes(*j.most))
			if s.firstStart(j.fromEnd, t) == s.resume {
				return true
			}
		}
	}
	return false
}

// shareLimit says whether two steps take of the same thing, by themselves or by an
// occupation that the first ends and the second begins.
func (c *checker) shareLimit(a, b *step) bool {
	if a.rest == 0 && !c.ends(a) {
		return false
	}
	for _, t := range a.Trades {
		if slices.Contains(b.Trades, t) {
			return true
		}
	}
	for k := range c.job.Gear {
		if g := c.job.Gear[k].ID; c.hasGear(a, g) && c.hasGear(b, g) {
			return true
		}
	}
	return c.share(c.placesOf(a), c.placesOf(b))
}

func (c *checker) ends(s *step) bool {
	return slices.ContainsFunc(c.occupations, func(o *occupation) bool { return o.to == s })
}

// placesOf is a step's places and those that it holds by occupations.
func (c *checker) placesOf(s *step) []scheduler.ID {
	places := slices.Clone(s.Places)
	for _, o := range c.occupations {
		if o.Place != "" && (o.from == s || o.to == s) {
			places = append(places, o.Place)
		}
	}
	return slices.Concat(places, c.roomsAround(places))
}

// roomsAround is the places around some that have room for only so many.
func (c *checker) roomsAround(places []scheduler.ID) []scheduler.ID {
	var out []scheduler.ID
	for _, p := range places {
		for _, q := range c.chain(p) {
			if c.places[q].Room > 0 {
				out = append(out, q)
			}
		}
	}
	return out
}

// tight checks which waits are said to hold a step where it is planned.
func (c *checker) tight() {
	d := dates{}
	for _, s := range c.steps {
		d[s] = &struct{ start, finish minute }{s.resume, s.finish}
	}
	for _, j := range c.joins {
		if j.plan == nil || j.noLeast || j.noMost {
			continue // what is set aside in part may hold by the rest
		}
		holds := false
		for _, half := range c.halves(j) {
			s, t := half.push(d)
			holds = holds || j.acts() && s != nil && !s.done() && t == s.resume
		}
		if holds != j.plan.Tight {
			c.report(TightWrong, ids(j.from, j.to), "the wait from %s holds a step where it is planned: %v, the plan says %v", j.words(), holds, j.plan.Tight)
		}
	}
}

// needsOf checks that what a step waits for before it starts is told, and whether
// it is there.
func (c *checker) needsOf(s *step) {
	open, aside := map[scheduler.ID]int{}, map[scheduler.ID]int{}
	for _, j := range c.joins {
		if j.to == s && j.toEnd == scheduler.Start && j.acts() {
			open[j.from.id]++
			if j.noLeast {
				aside[j.from.id]++
			}
		}
	}
	for _, n := range s.plan.Needs {
		if open[n.Step]--; open[n.Step] < 0 || n.Text == "" {
			c.report(NeedWrong, ids(s), "%s does not wait for %s before it starts, or not so often", s.id, n.Step)
		}
		if from := c.byID[n.Step]; n.Met && from != nil && !from.done() && !from.begun() {
			c.report(NeedWrong, ids(s), "%s is said to have %s, which has not begun", s.id, n.Step)
		}
	}
	for id, n := range open {
		if n > aside[id] {
			c.report(NeedWrong, ids(s), "%s waits for %s before it starts, the plan does not say so", s.id, id)
		}
	}
	ready := !slices.ContainsFunc(s.plan.Needs, func(n scheduler.Need) bool { return !n.Met })
	if state := s.plan.State; state == scheduler.Ready && !ready || state == scheduler.Waiting && ready {
		c.report(StateWrong, ids(s), "%s is %s, but its needs say otherwise", s.id, state)
	}
}

// driving checks that the chain leads through reasons to the last finish, from a
// step that no other undone step holds.
func (c *checker) driving() {
	chain := c.plan.Driving
	if len(chain) == 0 {
		if len(c.steps) > 0 {
			c.report(DrivingWrong, nil, "there is no driving chain")
		}
		return
	}
	if s := c.byID[chain[len(chain)-1]]; s == nil || s.finish != minuteOf(c.plan.Finish) {
		c.report(DrivingWrong, chain, "the driving chain does not end at the finish")
	}
	for k, id := range chain {
		s := c.byID[id]
		if s == nil {
			c.report(DrivingWrong, []scheduler.ID{id}, "the driving chain goes through %s, which the job has not", id)
			return
		}
		if k == 0 {
			c.drivingRoot(s)
			continue
		}
		if !slices.ContainsFunc(s.plan.Drivers, func(d scheduler.Driver) bool {
			return d.Step == chain[k-1] && (d.Kind == scheduler.ByWait || d.Kind == scheduler.ByLimit)
		}) {
			c.report(DrivingWrong, ids(s), "%s is not held by %s, its forerunner in the driving chain", id, chain[k-1])
		}
	}
}

func (c *checker) drivingRoot(s *step) {
	if !slices.ContainsFunc(s.plan.Drivers, func(d scheduler.Driver) bool {
		by := c.byID[d.Step]
		return d.Step == "" && d.Kind != scheduler.ByCalendar || by != nil && by.done()
	}) {
		c.report(DrivingWrong, ids(s), "the driving chain begins with %s, which other steps hold", s.id)
	}
}
