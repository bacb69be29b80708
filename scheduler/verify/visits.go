package verify

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// visit is a trade's steps on the site between two absences.
type visit []*step

// visits goes through the steps of a trade that take it to the site and parts them
// where it is away for more than one working day of the site.
func (c *checker) visits(trade scheduler.ID) []visit {
	var steps []*step
	for _, s := range c.steps {
		if !s.done() && s.rest > 0 && s.kind != scheduler.StageStep && slices.Contains(s.Trades, trade) {
			steps = append(steps, s)
		}
	}
	slices.SortStableFunc(steps, func(a, b *step) int { return int(a.resume - b.resume) })
	var all []visit
	for k, s := range steps {
		there := k > 0
		if there {
			until := -never
			for _, o := range steps[:k] {
				until = max(until, o.finish)
			}
			there = c.cals.site.between(until, s.resume) <= c.minutes(worktime.Span{Amount: 1, Unit: worktime.Days})
		}
		if there {
			all[len(all)-1] = append(all[len(all)-1], s)
		} else {
			all = append(all, visit{s})
		}
	}
	return all
}

// comings is the visits of all trades.
func (c *checker) comings() int {
	n := 0
	for k := range c.job.Trades {
		n += len(c.visits(c.job.Trades[k].ID))
	}
	return n
}

// inCompany says whether a trade does other work in the visit in which it does a step.
func (c *checker) inCompany(s *step) bool {
	for _, t := range s.Trades {
		for _, v := range c.visits(t) {
			if len(v) > 1 && slices.Contains(v, s) {
				return true
			}
		}
	}
	return false
}

// tooEarly is the minutes by which goods that are still to come lie on site for longer
// than they may before they are first used, all together: of working time, or of
// real time where the keeping time is.
func (c *checker) tooEarly() minute {
	sum := minute(0)
	for k := range c.job.Orders {
		o := &c.job.Orders[k]
		d := c.byID[o.ID+"."+scheduler.DeliveryStage]
		if d == nil || d.done() {
			continue
		}
		keep := scheduler.UsualKeep()
		if o.Keep.Amount > 0 {
			keep = o.Keep
		}
		var use *step
		for _, j := range c.joins {
			if j.from == d && j.acts() && !j.noLeast && (use == nil || j.to.resume < use.resume) {
				use = j.to
			}
		}
		if use == nil || use.begun() || use.done() {
			continue
		}
		sum += max(0, c.spanCal(keep).between(d.finish, use.resume)-c.minutes(keep))
	}
	return sum
}
