package verify

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// The rules about hold points and orders in the plan.
const (
	HoldWrong  Rule = "hold point" // its days are not those of its step
	OrderWrong Rule = "order"      // its days are not those of its steps, or do not fit together
)

// plannedHolds checks that every hold point is in the plan, with the days of its
// step and those who wait for it.
func (c *checker) plannedHolds() {
	n := 0
	for _, s := range c.steps {
		if s.kind != scheduler.HoldStep {
			continue
		}
		n++
		k := slices.IndexFunc(c.plan.Holds, func(p scheduler.PlannedHold) bool { return p.ID == s.id })
		if k < 0 {
			c.report(HoldWrong, ids(s), "hold point %s is not among the plan's", s.id)
			continue
		}
		c.plannedHold(s, &c.plan.Holds[k])
	}
	if n != len(c.plan.Holds) {
		c.report(HoldWrong, nil, "the job has %d hold points, the plan %d", n, len(c.plan.Holds))
	}
}

// neededBy checks that a hold point is needed when its step's free finish says, or
// later, while the order still comes in time, where one not placed yet waits for it.
func (c *checker) neededBy(s *step, p *scheduler.PlannedHold) bool {
	if p.NeedBy.Equal(s.plan.PlanFree) {
		return true
	}
	orders := false
	for follower := range c.followers(s) {
		for k := range c.plan.Orders {
			o := &c.plan.Orders[k]
			if first := c.byID[follower]; len(o.Stages) == 0 || o.Stages[0] != follower || first.begun() || first.done() {
				continue
			}
			orders = true
			if p.NeedBy.After(o.NeedBy) {
				return false
			}
		}
	}
	return orders && p.NeedBy.After(s.plan.PlanFree) && !p.NeedBy.After(s.plan.PlanLatest)
}

func (c *checker) plannedHold(s *step, p *scheduler.PlannedHold) {
	need := minuteOf(p.NeedBy)
	if p.Kind != s.hold.Kind || p.Witness != s.hold.Witness || p.By != s.hold.By || p.State != s.plan.State || !slices.Equal(p.Places, s.Places) {
		c.report(HoldWrong, ids(s), "hold point %s is not told as in the job", s.id)
	}
	if minuteOf(p.Planned) != s.finish || !c.neededBy(s, p) || !p.LatestBy.Equal(s.plan.PlanLatest) ||
		minute(p.Margin) != c.cals.site.between(s.finish, need) {
		c.report(HoldWrong, ids(s), "hold point %s can be released %s and is needed %s, which its days and margin of %d do not say", s.id,
			s.finish.in(c.zone), need.in(c.zone), p.Margin)
	}
	if (p.TellBy != nil) != !s.hold.Notice.Zero() || p.TellBy != nil && minuteOf(*p.TellBy) != c.spanBefore(s.resume, s.hold.Notice) {
		c.report(HoldWrong, ids(s), "hold point %s has a notice of %s before %s, its day to tell by is another", s.id, s.hold.Notice, s.resume.in(c.zone))
	}
	if w := s.fact.Booked; (p.Booked != nil) != (w != nil) || w != nil && minuteOf(*p.Booked) != c.from(w) {
		c.report(HoldWrong, ids(s), "hold point %s is not booked as recorded", s.id)
	}
	if !sameSteps(p.Holds, c.followers(s)) {
		c.report(HoldWrong, ids(s), "hold point %s holds up other steps than the plan says: %v", s.id, p.Holds)
	}
}

// followers is the steps that a wait that acts joins to a step.
func (c *checker) followers(s *step) map[scheduler.ID]bool {
	out := map[scheduler.ID]bool{}
	for _, j := range c.joins {
		if j.from == s && j.acts() {
			out[j.to.id] = true
		}
	}
	return out
}

func sameSteps(list []scheduler.ID, set map[scheduler.ID]bool) bool {
	for _, id := range list {
		if !set[id] {
			return false
		}
	}
	return len(list) == len(set)
}

// spanBefore is the latest moment from which a span lasts until t.
func (c *checker) spanBefore(t minute, s worktime.Span) minute {
	if s.Zero() {
		return t
	}
	cal := c.spanCal(s)
	return min(t, cal.still(cal.upTo(t)-c.minutes(s)))
}

// plannedOrders checks that every order is in the plan, with days that are those of
// its steps and follow from each other.
func (c *checker) plannedOrders() {
	if len(c.plan.Orders) != len(c.job.Orders) {
		c.report(OrderWrong, nil, "the job has %d orders, the plan %d", len(c.job.Orders), len(c.plan.Orders))
	}
	for i := range c.job.Orders {
		o := &c.job.Orders[i]
		k := slices.IndexFunc(c.plan.Orders, func(p scheduler.PlannedOrder) bool { return p.ID == o.ID })
		if k < 0 {
			c.report(OrderWrong, nil, "order %s is not in the plan", o.ID)
			continue
		}
		c.plannedOrder(o, &c.plan.Orders[k])
	}
}

func (c *checker) plannedOrder(o *scheduler.Order, p *scheduler.PlannedOrder) {
	delivery := c.byID[o.ID+".delivery"]
	var chain []*step
	for _, g := range o.Stages {
		chain = append(chain, c.byID[o.ID+"."+g.ID])
	}
	chain = append(chain, delivery)
	if !slices.Equal(p.Stages, ids(chain...)) || minuteOf(p.Planned) != chain[0].start || minuteOf(p.Delivery) != delivery.start {
		c.report(OrderWrong, ids(chain...), "order %s is placed %s and comes %s, the plan says %s and %s", o.ID, chain[0].start.in(c.zone),
			delivery.start.in(c.zone), minuteOf(p.Planned).in(c.zone), minuteOf(p.Delivery).in(c.zone))
	}
	if delivery.done() {
		if p.State != scheduler.Complete {
			c.report(OrderWrong, ids(delivery), "order %s has come, the plan says %s", o.ID, p.State)
		}
		return
	}
	c.orderDays(o, p, chain)
	if follow := c.followers(delivery); p.FirstUse != "" && !follow[p.FirstUse] || p.FirstUse == "" && len(follow) > 0 {
		c.report(OrderWrong, ids(delivery), "order %s is first used by %q, which does not wait for it", o.ID, p.FirstUse)
	}
}

// orderDays checks need-by against the delivery's free and latest finish, order-by
// against need-by, and the margin.
func (c *checker) orderDays(o *scheduler.Order, p *scheduler.PlannedOrder, chain []*step) {
	delivery := chain[len(chain)-1]
	need, latest := minuteOf(p.NeedBy), minuteOf(p.LatestBy)
	if delivery.finishFrom(need) != minuteOf(delivery.plan.PlanFree) || delivery.finishFrom(latest) != minuteOf(delivery.plan.PlanLatest) {
		c.report(OrderWrong, ids(delivery), "order %s is needed by %s, at the latest by %s, but its delivery may finish %s and %s", o.ID, need.in(c.zone),
			latest.in(c.zone), minuteOf(delivery.plan.PlanFree).in(c.zone), minuteOf(delivery.plan.PlanLatest).in(c.zone))
	}
	by, byLatest := need, latest
	for k := len(chain) - 2; k >= 0; k-- {
		if s := chain[k]; s.done() || s.begun() {
			by, byLatest = chain[0].start, chain[0].start
			break
		} else {
			by, byLatest = s.lastStart(scheduler.Finish, by), s.lastStart(scheduler.Finish, byLatest)
		}
	}
	if minuteOf(p.OrderBy) != by || minuteOf(p.LatestOrder) != byLatest {
		c.report(OrderWrong, ids(chain...), "order %s must be placed by %s, at the latest %s, the plan says %s and %s", o.ID, by.in(c.zone),
			byLatest.in(c.zone), minuteOf(p.OrderBy).in(c.zone), minuteOf(p.LatestOrder).in(c.zone))
	}
	// The margin counts from the earliest that the goods could come, had nothing been held back.
	margin := c.cals.site.between(delivery.start, need)
	held := slices.ContainsFunc(c.steps, func(s *step) bool {
		return slices.ContainsFunc(s.plan.Drivers, func(d scheduler.Driver) bool { return d.Kind == scheduler.ByHeld })
	})
	if minute(p.Margin) < margin || minute(p.Margin) > margin && !held {
		c.report(OrderWrong, ids(delivery), "order %s comes %d minutes before it is needed, the plan says %d", o.ID, margin, p.Margin)
	}
}
