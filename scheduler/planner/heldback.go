package planner

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// holdBack lets the last leg of each order start later where the goods would
// otherwise lie on site for long, within the slack that moves nobody. What is on
// its way already, or for which there is a word on when it comes, is left alone, and
// so is what a trade unloads, if it would have to come once more for that.
func (s *solution) holdBack() error {
	s.unheld = network.Times{Start: slices.Clone(s.planned.Start), Finish: slices.Clone(s.planned.Finish)}
	visits, _ := levelling.CountVisits(s.problem, &s.planned)
	least := s.holdOrders(func(int) bool { return true })
	if !slices.Contains(s.held, true) {
		return nil
	}
	if err := s.datePlan(least); err != nil {
		return err
	}
	if now, _ := levelling.CountVisits(s.problem, &s.planned); now <= visits {
		return nil
	}
	s.planned = network.Times{Start: slices.Clone(s.unheld.Start), Finish: slices.Clone(s.unheld.Finish)}
	return s.datePlan(s.holdOrders(func(delivery int) bool { return len(s.net.Steps[delivery].Trades) == 0 }))
}

// holdOrders is least starts that hold the orders back whose deliveries may be moved.
func (s *solution) holdOrders(movable func(delivery int) bool) []worktime.Instant {
	s.held = make([]bool, s.h.Steps())
	least := make([]worktime.Instant, s.h.Steps())
	for i := range least {
		least[i] = worktime.Ever
	}
	copy(least, s.least)
	for k := range s.net.Job.Orders {
		o := &s.net.Job.Orders[k]
		if d, ok := s.net.Find(o.DeliveryStep()); ok && movable(d) {
			s.holdOrderBack(o, least)
		}
	}
	return least
}

// holdOrderBack sets the least start of an order's last leg so that it comes half
// its keeping time before it is needed.
func (s *solution) holdOrderBack(o *scheduler.Order, least []worktime.Instant) {
	leg, d, ok := s.lastLeg(o)
	if !ok {
		return
	}
	site := s.h.Calendars[network.Site]
	need := s.startFor(d, s.h.LatestFinishFor(d, &s.planned, s.noLater(d)))
	target := site.Last(site.Work(need) - s.keepMinutes(o)/2)
	if target <= s.planned.Start[d] {
		return
	}
	start := target
	if leg != d {
		start = s.lastLegStart(leg, d, target)
	}
	if start <= s.planned.Start[leg] {
		return
	}
	least[leg] = start
	s.held[leg] = true
}

// lastLeg is the step whose start says when an order's goods come, and the delivery;
// ok is false where that is fixed: they are on their way, or there is a word on when
// they come.
func (s *solution) lastLeg(o *scheduler.Order) (leg, delivery int, ok bool) {
	d, ok := s.net.Find(o.DeliveryStep())
	if !ok || s.h.Progress[d] != network.Open || s.h.ReleaseBy[d] == scheduler.ByExpected || s.h.ReleaseBy[d] == scheduler.ByPin {
		return -1, d, false
	}
	if n := len(o.Stages); n > 0 {
		leg, ok = s.net.Find(o.ID + "." + o.Stages[n-1].ID)
		return leg, d, ok && s.h.Progress[leg] == network.Open
	}
	return d, d, true
}

// lastLegStart is the greatest start of the last leg with which it is over by the
// target and moves nobody but the delivery.
func (s *solution) lastLegStart(leg, delivery int, target worktime.Instant) worktime.Instant {
	start := min(s.startFor(leg, min(target, s.noLater(leg))), s.h.Upper[leg])
	for k := range s.h.Out(leg) {
		if a := &s.h.Out(leg)[k]; int(a.To) != delivery {
			start = min(start, s.h.GreatestStart(a, &s.planned))
		}
	}
	return start
}

// noLater is by when step i has to finish so that neither its due day nor the plan's
// finish is missed by more.
func (s *solution) noLater(i int) worktime.Instant {
	return min(s.last, max(s.h.Due[i], s.planned.Finish[i]))
}

// startFor is the greatest start of step i with which it finishes by t.
func (s *solution) startFor(i int, t worktime.Instant) worktime.Instant {
	return s.h.LastStartToFinishBy(i, t)
}

// keepMinutes is the working minutes for which an order's goods may lie on site.
func (s *solution) keepMinutes(o *scheduler.Order) int64 {
	keep := o.MaySit()
	if keep.Elapsed() {
		days := s.net.Job.Minutes(keep) / (24 * 60)
		return days * s.net.Job.Week.WorkingDays() / 7 * s.net.Job.DayMinutes()
	}
	return s.net.Job.Minutes(keep)
}
