package network

import (
	"fmt"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// leastRest is the least work a started step without a recorded remainder still
// has: nothing is taken as done because its days have passed.
const leastRest = 60

// Build lays a network out as of a day, with calendars that reach so many days beyond
// those that people wrote into the job, and a quarter of that before them, 120 days at
// least. Calling it again with more days is the answer to ErrBeyond.
func Build(net *scheduler.Network, asOf worktime.Date, days int) (*Graph, error) {
	zone, err := time.LoadLocation(net.Job.Zone)
	if err != nil {
		return nil, fmt.Errorf("time zone of job %s: %w", net.Job.ID, err)
	}
	return layOn(newCalendars(net.Job, zone, asOf, days), net, zone, asOf), nil
}

// layOn lays a network out on calendars.
func layOn(cals *calendars, net *scheduler.Network, zone *time.Location, asOf worktime.Date) *Graph {
	n := len(net.Steps)
	g := &Graph{
		Net: net, Zone: zone, AsOf: asOf.At(0, zone), calendars: cals,
		Cal: make([]int32, n), Work: make([]int64, n), Rest: make([]int64, n),
		Progress: make([]Progress, n),
		Began:    make([]worktime.Instant, n), Ended: make([]worktime.Instant, n),
		Release: make([]worktime.Instant, n), ReleaseBy: make([]scheduler.DriverKind, n),
		Upper: make([]worktime.Instant, n), Due: make([]worktime.Instant, n),
		PinOf: make([]int32, n), PinKept: make([]bool, len(net.Job.Pins)),
		unpinned: make([]worktime.Instant, n), unpinnedBy: make([]scheduler.DriverKind, n),
	}
	start := net.Job.Start.At(0, zone)
	for i := range net.Steps {
		g.layStep(cals, i, start)
	}
	g.Calendars = cals.all
	g.layPins(zone)
	g.layDues(zone)
	expected := g.layFacts(zone)
	g.index(g.layWaits(expected))
	g.layOut()
	return g
}

func (g *Graph) layStep(cals *calendars, i int, start worktime.Instant) {
	job, s := g.Net.Job, &g.Net.Steps[i]
	takes := s.Takes
	if s.Witness {
		takes = s.Notice
	}
	if takes.Elapsed() && !takes.Zero() {
		g.Cal[i] = RealTime
	} else {
		g.Cal[i] = cals.of(s)
	}
	g.Work[i] = job.Minutes(takes)
	g.Rest[i] = g.Work[i]
	g.Upper[i], g.Due[i], g.PinOf[i] = worktime.Never, worktime.Never, -1
	g.Release[i], g.ReleaseBy[i] = start, scheduler.ByStart
	g.unpinned[i], g.unpinnedBy[i] = g.Release[i], scheduler.ByStart
	g.release(i, g.AsOf, scheduler.ByAsOf)
}

// release raises the least start of a step.
func (g *Graph) release(i int, t worktime.Instant, by scheduler.DriverKind) {
	if t > g.Release[i] {
		g.Release[i], g.ReleaseBy[i] = t, by
	}
	if by != scheduler.ByPin && t > g.unpinned[i] {
		g.unpinned[i], g.unpinnedBy[i] = t, by
	}
}

func (g *Graph) layPins(zone *time.Location) {
	for k, p := range g.Net.Job.Pins {
		g.PinKept[k] = true
		i, ok := g.Net.Find(p.Step)
		if !ok {
			continue
		}
		if day := p.NotBefore; day != nil {
			g.release(i, day.At(0, zone), scheduler.ByPin)
		}
		if day := p.On; day != nil {
			g.release(i, day.At(0, zone), scheduler.ByPin)
			if end := (*day + 1).At(0, zone); end < g.Upper[i] {
				g.Upper[i] = end
			}
		}
		g.PinOf[i] = int32(k)
	}
}

func (g *Graph) layDues(zone *time.Location) {
	for _, d := range g.Net.Job.Dues {
		if i, ok := g.Net.Find(d.Step); ok {
			g.Due[i] = min(g.Due[i], (d.On+1).At(0, zone))
		}
	}
}

// layWaits turns the waits that act into arcs. The wait from an order's last
// stage does not act where there is a later word on the delivery.
func (g *Graph) layWaits(expected []bool) []Arc {
	net := g.Net
	arcs := make([]Arc, 0, len(net.Waits)+len(net.Waits)/8)
	for k := range net.Waits {
		if net.Waived[k] {
			continue
		}
		w, from, to := &net.Waits[k], net.Ends[k].From, net.Ends[k].To
		if expected[to] && net.Steps[to].Order != "" && net.Steps[to].Order == net.Steps[from].Order {
			continue
		}
		arcs = append(arcs, Arc{
			From: from, To: to, FromEnd: w.From.End, ToEnd: w.To.End,
			Cal: waitCalendar(w.Least), Wait: int32(k), Limit: -1, Lag: net.Job.Minutes(w.Least),
		})
		if w.Most != nil {
			arcs = append(arcs, Arc{
				From: to, To: from, FromEnd: w.To.End, ToEnd: w.From.End, Most: true,
				Cal: waitCalendar(*w.Most), Wait: int32(k), Limit: -1, Lag: -net.Job.Minutes(*w.Most),
			})
		}
	}
	return arcs
}

func waitCalendar(s worktime.Span) int32 {
	if s.Elapsed() {
		return RealTime
	}
	return Site
}
