package planner

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// holdBack lets the last leg of each order start later where the goods would
// otherwise lie on site for long, within the slack that moves nobody. What is on
// its way already, or for which there is a word on when it comes, is left alone.
func (s *solution) holdBack() error {
	s.unheld = s.planned
	s.held = make([]bool, s.h.Steps())
	least := make([]worktime.Instant, s.h.Steps())
	for i := range least {
		least[i] = worktime.Ever
	}
	copy(least, s.least)
	any := false
	for k := range s.net.Job.Orders {
		if s.holdOrderBack(&s.net.Job.Orders[k], least) {
			any = true
		}
	}
	if !any {
		return nil
	}
	s.unheld = network.Times{
		Start:  append([]worktime.Instant(nil), s.planned.Start...),
		Finish: append([]worktime.Instant(nil), s.planned.Finish...),
	}
	return s.datePlan(least)
}

// holdOrderBack sets the least start of an order's last leg so that it comes half
// its keeping time before it is needed.
func (s *solution) holdOrderBack(o *scheduler.Order, least []worktime.Instant) bool {
	d, ok := s.net.Find(o.DeliveryStep())
	if !ok || s.h.Progress[d] != network.Open || s.h.ReleaseBy[d] == scheduler.ByExpected || s.h.ReleaseBy[d] == scheduler.ByPin {
		return false
	}
	site := s.h.Calendars[network.Site]
	need := s.startFor(d, s.h.LatestFinishFor(d, &s.planned, s.noLater(d)))
	target := site.Last(site.Work(need) - s.keepMinutes(o)/2)
	leg := d
	if n := len(o.Stages); n > 0 {
		if leg, ok = s.net.Find(o.ID + "." + o.Stages[n-1].ID); !ok || s.h.Progress[leg] != network.Open {
			return false
		}
	}
	if target <= s.planned.Start[d] {
		return false
	}
	start := target
	if leg != d {
		start = s.lastLegStart(leg, d, target)
	}
	if start <= s.planned.Start[leg] {
		return false
	}
	least[leg] = start
	s.held[leg] = true
	return true
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
