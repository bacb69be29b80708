package levelling

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Outline is what is kept of a problem to know whether a later one is any easier. It
// takes little room beside the problem.
type Outline struct {
	asOf         worktime.Instant
	hours        []string // by calendar: see network.Graph.Hours
	cal          []int32  // these by step, as in the graph
	rest         []int64
	progress     []network.Progress
	began, ended []worktime.Instant
	release      []worktime.Instant
	upper, due   []worktime.Instant
	arcs         []network.Arc
	limits       []Limit
	uses         []Use
}

// Outline is the outline of a problem, which shares what it can with it.
func (p *Problem) Outline() *Outline {
	g := p.Graph
	o := &Outline{
		asOf: g.AsOf, hours: make([]string, len(g.Calendars)), cal: g.Cal, rest: g.Rest, progress: g.Progress, began: g.Began, ended: g.Ended,
		release: g.Release, upper: g.Upper, due: g.Due, arcs: g.Arcs, limits: slices.Clip(p.Limits), uses: slices.Clip(p.Uses),
	}
	for c := range o.hours {
		o.hours[c] = g.Hours(int32(c))
	}
	return o
}

// Bytes is about how many bytes an outline takes.
func (o *Outline) Bytes() int {
	const inStep, inArc, inUse, inLimit, inHours = 53, 32, 20, 40, 150
	return inStep*len(o.cal) + inArc*len(o.arcs) + inUse*len(o.uses) + inLimit*len(o.limits) + inHours*len(o.hours)
}

// Progress is how far a step had come.
func (o *Outline) Progress(i int32) network.Progress { return o.progress[i] }

// Limit is a limit of the problem.
func (o *Outline) Limit(l int32) *Limit { return &o.limits[l] }

// NoEasier says whether every schedule of this problem is one of another as well, or
// becomes one by letting steps take less time, so that what cannot be reached there
// cannot be reached here: releases no earlier, pins and due days no later, waits no
// shorter, most times no longer, limits no larger, and steps that take no less time
// where only what follows them minds their finish. The steps are the same by number.
func (p *Problem) NoEasier(than *Outline) bool {
	g, o := p.Graph, than
	if g.Steps() != len(o.cal) || len(g.Arcs) != len(o.arcs) || g.AsOf < o.asOf || g.Hours(network.Site) != o.hours[network.Site] || !p.claimsNoLess(o) {
		return false
	}
	for i := range g.Steps() {
		if g.Progress[i] != o.progress[i] || g.Hours(g.Cal[i]) != o.hours[o.cal[i]] ||
			g.Began[i] != o.began[i] || g.Ended[i] != o.ended[i] || g.Rest[i] < o.rest[i] || (g.Rest[i] > 0) != (o.rest[i] > 0) {
			return false
		}
		if g.Progress[i] == network.Done {
			continue
		}
		if g.Release[i] < o.release[i] || g.Upper[i] > o.upper[i] || g.Due[i] > o.due[i] || g.Rest[i] > o.rest[i] && finishDraws(g, i) {
			return false
		}
	}
	for k := range g.Arcs {
		a, b := &g.Arcs[k], &o.arcs[k]
		if a.From != b.From || a.To != b.To || a.FromEnd != b.FromEnd || a.ToEnd != b.ToEnd || a.Most != b.Most ||
			a.Cal != b.Cal || a.Lag < b.Lag || a.Dropped != b.Dropped {
			return false
		}
	}
	return true
}

// finishDraws says whether the finish of a step can come too early: something may
// follow it only so long after, or it has to come after something itself.
func finishDraws(g *network.Graph, i int) bool {
	for _, k := range g.In(i) {
		if a := &g.Arcs[k]; !a.Dropped && a.ToEnd == scheduler.Finish {
			return true
		}
	}
	return false
}

// claimsNoLess says whether the limits are the same ones, no larger, and claimed by
// the same steps for no less.
func (p *Problem) claimsNoLess(than *Outline) bool {
	return slices.EqualFunc(p.Limits, than.limits, func(a, b Limit) bool {
		return a.Kind == b.Kind && a.ID == b.ID && a.Size <= b.Size
	}) && slices.EqualFunc(p.Uses, than.uses, func(a, b Use) bool {
		return a.Limit == b.Limit && a.From == b.From && a.To == b.To && a.Occupation == b.Occupation && a.Amount >= b.Amount
	})
}
