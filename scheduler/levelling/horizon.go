package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// stretch is an amount of work on a calendar.
type stretch struct {
	calendar *worktime.Calendar
	minutes  int64
}

// horizon is by when everything can be over if it can at all. The earliest dates of
// any order follow a chain that goes through no step twice and sets out from a
// release or a recorded time, so all steps and the longest wait into each, one after
// the other, each with the longest break there is, are enough. Forever is false
// where the calendars end before that.
func (c *contradicting) horizon(p *Problem, early *network.Times) (end worktime.Instant, forever bool) {
	g := p.Graph
	from, total := g.AsOf, int64(0)
	for i := range g.Steps() {
		if g.Progress[i] != network.Open {
			from = max(from, g.Began[i])
		}
		if g.Progress[i] == network.Done {
			from = max(from, g.Ended[i])
			continue
		}
		from = max(from, g.Release[i])
		longest := int64(0)
		for _, k := range g.In(i) {
			if a := &g.Arcs[k]; !a.Dropped && !a.Most {
				longest = max(longest, c.real(g.Calendars[a.Cal], a.Lag))
			}
		}
		total += longest + c.real(g.Calendars[g.Cal[i]], g.Rest[i]+1)
	}
	end, forever = max(from+worktime.Instant(total), network.LastFinish(early)), true
	for _, cal := range g.Calendars {
		if last := cal.End(); last < end {
			end, forever = last, false
		}
	}
	return end, forever
}

// real is the most real minutes that an amount of work on a calendar can take.
func (c *contradicting) real(cal *worktime.Calendar, minutes int64) int64 {
	if minutes <= 0 || cal.IsContinuous() {
		return minutes
	}
	key := stretch{cal, minutes}
	longest, ok := c.longest[key]
	if !ok {
		longest = cal.Longest(minutes)
		c.longest[key] = longest
	}
	return longest
}
