package network

import (
	"maps"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Again lays another network out as of a day on the calendars of this graph, which
// is most of the work of Build. The weeks, closures and days off of the site, its
// trades and its places must be the same, and the days in question lie on the
// calendars; the steps, waits and all that is recorded may be others.
func (g *Graph) Again(net *scheduler.Network, asOf worktime.Date) *Graph {
	cals := *g.calendars
	cals.all, cals.keys = slices.Clone(cals.all), slices.Clone(cals.keys)
	cals.named, cals.made = maps.Clone(cals.named), maps.Clone(cals.made)
	return layOn(&cals, net, g.Zone, asOf)
}

// Hours is which times a calendar of this graph works: the same for calendars that
// work at the same times, however far they reach, in this graph and in others; nothing
// for a graph without a job.
func (g *Graph) Hours(calendar int32) string {
	if g.calendars == nil {
		return ""
	}
	return g.calendars.keys[calendar]
}

// SetAside lets go of a pin (wait < 0), of the most time of a wait, or of its least
// time, as Earliest does with what contradicts itself.
func (g *Graph) SetAside(pin, wait int32, most bool) {
	if wait < 0 {
		g.unpin(pin)
		return
	}
	for k := range g.Arcs {
		if a := &g.Arcs[k]; a.Wait == wait && a.Most == most {
			a.Dropped = true
		}
	}
}

func (g *Graph) unpin(pin int32) {
	g.PinKept[pin] = false
	if i, ok := g.Net.Find(g.Net.Job.Pins[pin].Step); ok {
		g.Upper[i] = worktime.Never
		g.Release[i], g.ReleaseBy[i] = g.unpinned[i], g.unpinnedBy[i]
	}
}

// Dates is the least dates that satisfy every wait, with further least starts, by
// step; ok is false where statements contradict each other or dates run beyond the
// calendars. Nothing is set aside.
func (g *Graph) Dates(least []worktime.Instant) (t Times, ok bool) {
	f := newForward(g)
	f.least = least
	f.lanes = g.lanes(false)
	conflict, err := f.run()
	return f.t, conflict == nil && err == nil
}
