package network

import "gaugerod/scheduler/worktime"

// Mirror is the graph with time running backwards: instants are negated, starts
// and finishes change places, waits run the other way. What has been recorded, and
// the rest of what has begun, is fixed in it where it stood at release.
func (g *Graph) Mirror() *Graph {
	n := g.Steps()
	m := &Graph{
		Net: g.Net, Zone: g.Zone, AsOf: -worktime.Never,
		Cal: g.Cal, Work: g.Work, Rest: g.Rest, Due: g.Due, PinOf: g.PinOf, PinKept: g.PinKept,
		ReleaseBy: g.ReleaseBy,
		Progress:  make([]Progress, n),
		Began:     make([]worktime.Instant, n), Ended: make([]worktime.Instant, n),
		Release: make([]worktime.Instant, n), Upper: make([]worktime.Instant, n),
		Calendars: make([]*worktime.Calendar, len(g.Calendars)),
	}
	for k, c := range g.Calendars {
		m.Calendars[k] = c.Reverse()
	}
	for i := range n {
		m.Release[i], m.Upper[i] = worktime.Ever, worktime.Never
		switch g.Progress[i] {
		case Done:
			m.Progress[i], m.Began[i], m.Ended[i] = Done, -g.Ended[i], -g.Began[i]
		case Begun:
			start := g.StartFrom(i, g.Release[i])
			m.Progress[i], m.Began[i], m.Ended[i] = Done, -g.FinishOf(i, start), -g.Began[i]
		}
	}
	arcs := make([]Arc, len(g.Arcs))
	for k, a := range g.Arcs {
		a.From, a.To = a.To, a.From
		a.FromEnd, a.ToEnd = 1-a.ToEnd, 1-a.FromEnd
		arcs[k] = a
	}
	m.index(arcs)
	return m
}
