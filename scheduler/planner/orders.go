package planner

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// orders is every order with the days by which it must be placed and come.
func (s *solution) orders(steps []scheduler.PlannedStep) []scheduler.PlannedOrder {
	var list []scheduler.PlannedOrder
	for k := range s.net.Job.Orders {
		o := &s.net.Job.Orders[k]
		first, ok := s.net.Find(o.FirstStep())
		d, okDelivery := s.net.Find(o.DeliveryStep())
		if !ok || !okDelivery {
			continue
		}
		p := scheduler.PlannedOrder{
			ID: o.ID, Title: o.Title, Supplier: o.Supplier, StandIn: o.StandIn,
			State:    s.orderState(first, d, steps),
			Planned:  s.time(s.end(scheduler.Point{Step: o.FirstStep(), End: scheduler.Start})),
			Delivery: s.time(s.end(scheduler.Point{Step: o.DeliveryStep(), End: scheduler.Start})),
			FirstUse: s.firstUse(d),
		}
		for _, g := range o.Stages {
			p.Stages = append(p.Stages, o.ID+"."+g.ID)
		}
		p.Stages = append(p.Stages, o.DeliveryStep())
		s.orderDays(&p, o, d)
		list = append(list, p)
	}
	return list
}

func (s *solution) orderState(first, delivery int, steps []scheduler.PlannedStep) scheduler.State {
	switch {
	case s.h.Progress[delivery] == network.Done:
		return scheduler.Complete
	case s.h.Progress[first] != network.Open && first != delivery:
		return scheduler.Underway
	}
	return steps[first].State
}

// orderDays works back from the days by which the goods must be at the gate to
// those by which the order must be placed.
func (s *solution) orderDays(p *scheduler.PlannedOrder, o *scheduler.Order, d int) {
	if s.h.Progress[d] == network.Done {
		p.NeedBy, p.LatestBy, p.OrderBy, p.LatestOrder = p.Delivery, p.Delivery, p.Planned, p.Planned
		return
	}
	need := s.startFor(d, s.h.LatestFinishFor(d, &s.planned, s.planEnd))
	latest := s.planLate.Start[d]
	p.NeedBy, p.LatestBy = s.time(need), s.time(latest)
	p.OrderBy, p.LatestOrder = s.time(s.placedFor(o, need)), s.time(s.placedFor(o, latest))
	p.Margin = s.siteMinutes(s.unheld.Start[d], need)
}

// placedFor is the greatest start of the order with which its stages, one after
// the other, are over by t. A stage that has begun has the start it has.
func (s *solution) placedFor(o *scheduler.Order, t worktime.Instant) worktime.Instant {
	for k := len(o.Stages) - 1; k >= 0; k-- {
		i, ok := s.net.Find(o.ID + "." + o.Stages[k].ID)
		if !ok {
			continue
		}
		if s.h.Progress[i] != network.Open {
			return s.end(scheduler.Point{Step: o.FirstStep(), End: scheduler.Start})
		}
		t = s.startFor(i, t)
	}
	return t
}

// unhurried is the planned times with each order that has not begun placed no
// earlier than it must be: what leads only to an order is needed by its order-by day.
func (s *solution) unhurried() network.Times {
	t := network.Times{
		Start:  append([]worktime.Instant(nil), s.planned.Start...),
		Finish: append([]worktime.Instant(nil), s.planned.Finish...),
	}
	for k := range s.net.Job.Orders {
		o := &s.net.Job.Orders[k]
		first, ok := s.net.Find(o.FirstStep())
		d, okDelivery := s.net.Find(o.DeliveryStep())
		if !ok || !okDelivery || s.h.Progress[first] != network.Open || s.h.Progress[d] == network.Done {
			continue
		}
		by := s.placedFor(o, s.startFor(d, s.h.LatestFinishFor(d, &s.planned, s.planEnd)))
		if start := s.h.StartFrom(first, by); start == by && by > t.Start[first] {
			t.Start[first], t.Finish[first] = by, s.h.FinishOf(first, by)
		}
	}
	return t
}

// firstUse is the step that waits for step i and is planned first.
func (s *solution) firstUse(i int) scheduler.ID {
	best := int32(-1)
	for k := range s.g.Out(i) {
		a := &s.g.Out(i)[k]
		if a.Most || a.Wait < 0 || a.Dropped {
			continue
		}
		if best < 0 || s.planned.Start[a.To] < s.planned.Start[best] {
			best = a.To
		}
	}
	if best < 0 {
		return ""
	}
	return s.net.Steps[best].ID
}
