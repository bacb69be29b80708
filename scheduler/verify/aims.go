package verify

import (
	"gaugerod/scheduler"
)

// AimWrong is the rule about what a plan says of its aims: each is there, in order,
// with the figure that the planned dates give, which is no less than the least, and is
// called proven just where it is the least.
const AimWrong Rule = "aim"

// aims counts anew how near the plan comes to each of its aims.
func (c *checker) aims() {
	want := []struct {
		kind    scheduler.AimKind
		reached minute
	}{
		{scheduler.AimDueDays, c.lateness()},
		{scheduler.AimFinish, c.cals.site.between(c.asOf, minuteOf(c.plan.Finish))},
		{scheduler.AimVisits, minute(c.comings())},
		{scheduler.AimDeliveries, c.tooEarly()},
	}
	if len(c.plan.Aims) != len(want) {
		c.report(AimWrong, nil, "the plan tells of %d aims instead of %d", len(c.plan.Aims), len(want))
		return
	}
	for k, w := range want {
		a := &c.plan.Aims[k]
		if a.Kind != w.kind || minute(a.Reached) != w.reached || a.Text == "" {
			c.report(AimWrong, nil, "the plan has %d of %s, and says %d of %s: %q", w.reached, w.kind, a.Reached, a.Kind, a.Text)
		}
		if a.Least > a.Reached || a.Proven && a.Least != a.Reached {
			c.report(AimWrong, nil, "%s: %d, at the least %d, proven: %v", a.Kind, a.Reached, a.Least, a.Proven)
		}
	}
	finish := &c.plan.Aims[1]
	if bound := c.cals.site.between(c.asOf, minuteOf(c.plan.Bound)); minute(finish.Least) != bound || finish.Proven != c.plan.Proven || finish.Proven && !c.plan.Aims[0].Proven {
		c.report(AimWrong, nil, "the finish is at the least after %d minutes, proven: %v; by the plan's bound after %d, proven: %v", finish.Least, finish.Proven, bound, c.plan.Proven)
	}
}

// lateness is the minutes by the clock by which steps finish past the end of their
// due days, of several the first.
func (c *checker) lateness() minute {
	due := map[*step]minute{}
	for _, x := range c.job.Dues {
		if s := c.one(x.Step, ""); s != nil {
			by := c.clock(x.On+1, 0)
			if was, ok := due[s]; !ok || by < was {
				due[s] = by
			}
		}
	}
	late := minute(0)
	for s, by := range due {
		late += max(0, s.finish-by)
	}
	return late
}
