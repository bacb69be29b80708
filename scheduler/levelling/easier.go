package levelling

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
)

// NoEasier says whether every schedule of this problem is one of another as well, or
// becomes one by letting steps take less time, so that what cannot be reached there
// cannot be reached here: the same steps, with releases no earlier, pins and due days
// no later, waits no shorter, most times no longer, limits no larger, and steps that
// take no less time where only what follows them minds their finish.
func (p *Problem) NoEasier(than *Problem) bool {
	g, o := p.Graph, than.Graph
	if g.Steps() != o.Steps() || len(g.Arcs) != len(o.Arcs) || g.AsOf < o.AsOf || !p.claimsNoLess(than) {
		return false
	}
	for i := range g.Steps() {
		if g.Net.Steps[i].ID != o.Net.Steps[i].ID || g.Progress[i] != o.Progress[i] || g.Calendars[g.Cal[i]] != o.Calendars[o.Cal[i]] ||
			g.Began[i] != o.Began[i] || g.Ended[i] != o.Ended[i] || g.Rest[i] < o.Rest[i] || (g.Rest[i] > 0) != (o.Rest[i] > 0) {
			return false
		}
		if g.Progress[i] == network.Done {
			continue
		}
		if g.Release[i] < o.Release[i] || g.Upper[i] > o.Upper[i] || g.Due[i] > o.Due[i] || g.Rest[i] > o.Rest[i] && finishDraws(g, i) {
			return false
		}
	}
	for k := range g.Arcs {
		a, b := &g.Arcs[k], &o.Arcs[k]
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
func (p *Problem) claimsNoLess(than *Problem) bool {
	return slices.EqualFunc(p.Limits, than.Limits, func(a, b Limit) bool {
		return a.Kind == b.Kind && a.ID == b.ID && a.Size <= b.Size
	}) && slices.EqualFunc(p.Uses, than.Uses, func(a, b Use) bool {
		return a.Limit == b.Limit && a.From == b.From && a.To == b.To && a.Occupation == b.Occupation && a.Amount >= b.Amount
	})
}
