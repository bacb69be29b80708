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
	cals.all, cals.made = slices.Clone(cals.all), maps.Clone(cals.made)
	return layOn(&cals, net, g.Zone, asOf)
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
