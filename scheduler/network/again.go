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

// CalendarBytes is how many bytes the calendars of this graph take.
func (g *Graph) CalendarBytes() int {
	n := 0
	for _, c := range g.calendars.all {
		n += c.Bytes()
	}
	for _, parts := range []map[scheduler.ID]*own{g.calendars.trades, g.calendars.places} {
		for _, o := range parts {
			n += o.cal.Bytes()
		}
	}
	return n
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

// Reach says whether the calendars of this graph suit another job of the same site
// as well: everything that is said in days lies near the days for which they were
// made.
func (g *Graph) Reach(job *scheduler.Job, asOf worktime.Date) bool {
	const year = 366
	was := g.calendars.job
	first, last := daysOf(was, was.Start)
	from, to := daysOf(job, asOf)
	return from >= first-year && to <= last+2*year
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
