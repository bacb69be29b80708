package verify

import (
	"slices"

	"gaugerod/scheduler"
)

// The rules about due days and layers.
const (
	DueWrong   Rule = "due day"  // its day, margin or being missed is not told right
	CoverWrong Rule = "covering" // a layer is not told right, or is left out
)

// dues checks that every due day is in the plan with its margin.
func (c *checker) dues() {
	if len(c.plan.Dues) != len(c.job.Dues) {
		c.report(DueWrong, nil, "the job has %d due days, the plan %d", len(c.job.Dues), len(c.plan.Dues))
	}
	for _, x := range c.job.Dues {
		k := slices.IndexFunc(c.plan.Dues, func(p scheduler.PlannedDue) bool { return p.ID == x.ID })
		s := c.one(x.Step, "")
		if k < 0 || s == nil {
			c.report(DueWrong, []scheduler.ID{x.Step}, "due day %s is not in the plan", x.ID)
			continue
		}
		p, by := &c.plan.Dues[k], c.clock(x.On+1, 0)
		if p.Step != s.id || minuteOf(p.By) != by || minuteOf(p.Planned) != s.finish ||
			minute(p.Margin) != c.cals.site.between(s.finish, by) || p.Missed != (s.finish > by) {
			c.report(DueWrong, ids(s), "%s is due %s and finishes %s, which the plan tells as %s and %s, margin %d, missed %v", s.id,
				by.in(c.zone), s.finish.in(c.zone), minuteOf(p.By).in(c.zone), minuteOf(p.Planned).in(c.zone), p.Margin, p.Missed)
		}
	}
}

// covers checks that every covering of a layer is in the plan, with its limit and
// the holds that have not been released.
func (c *checker) covers() {
	if len(c.plan.Covers) != len(c.layers) {
		c.report(CoverWrong, nil, "the job covers %d layers, the plan %d", len(c.layers), len(c.plan.Covers))
	}
	for _, l := range c.layers {
		k := slices.IndexFunc(c.plan.Covers, func(p scheduler.PlannedCover) bool {
			return p.BuildUp == l.buildUp.ID && p.Place == l.place && p.Layer == l.layer.ID
		})
		if k < 0 {
			c.report(CoverWrong, ids(l.step, l.by), "layer %s of %s at %s is not in the plan", l.layer.ID, l.buildUp.ID, l.place)
			continue
		}
		c.checkCover(l, &c.plan.Covers[k])
	}
}

func (c *checker) checkCover(l *layer, p *scheduler.PlannedCover) {
	var unseen []scheduler.ID
	for _, s := range l.seen {
		if !s.done() {
			unseen = append(unseen, s.id)
		}
	}
	right := p.Step == l.step.id && p.CoveredBy == l.by.id && minuteOf(p.Laid) == l.step.start &&
		minuteOf(p.Covered) == l.by.finish && slices.Equal(p.Unseen, unseen) && (p.Limit != nil) == (l.layer.Exposed != nil)
	if right && p.Limit != nil {
		cal := c.spanCal(*l.layer.Exposed)
		right = minuteOf(*p.Limit) == cal.still(cal.upTo(l.step.start)+c.minutes(*l.layer.Exposed))
	}
	if !right {
		c.report(CoverWrong, ids(l.step, l.by), "layer %s of %s at %s: laid %s by %s, covered %s by %s, unseen %v, is not what the plan tells", l.layer.ID, l.buildUp.ID,
			l.place, l.step.start.in(c.zone), l.step.id, l.by.finish.in(c.zone), l.by.id, unseen)
	}
}
