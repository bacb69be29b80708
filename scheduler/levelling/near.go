package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Near is a schedule near the starts that a plan before had, as good as the order of
// these starts lets it be: by the order that the plan fixed among those who share a
// limit, where it can still be kept, else placed one after the other as they were.
// Steps without a start before come by their latest one. Ok is false where neither
// keeps every wait and limit.
func Near(p *Problem, starts []worktime.Instant, order []network.Arc, early, late *network.Times, raises int) (near Schedule, ok bool) {
	if near, ok = p.inOldOrder(starts, order); ok {
		return near, true
	}
	s, kept := newSerial(p).schedule(p.byStartsBefore(starts, late), early.Start, raises)
	return s, kept && len(s.Barred) == 0
}

// inOldOrder dates the waits together with an order: from the starts before on, where
// that misses no due day by more and ends no later than without them.
func (p *Problem) inOldOrder(starts []worktime.Instant, order []network.Arc) (Schedule, bool) {
	h := p.Graph
	if len(order) > 0 {
		h = h.WithArcs(order)
	}
	free, ok := h.Dates(nil)
	if !ok || !p.fits(&free) {
		return Schedule{}, false
	}
	best := p.measured(free)
	if held, ok := h.Dates(starts); ok && p.fits(&held) {
		if s := p.measured(held); !best.before(&s) {
			return s, true
		}
	}
	return best, true
}

// byStartsBefore is the order of the starts before; what is begun goes first.
func (p *Problem) byStartsBefore(starts []worktime.Instant, late *network.Times) []int64 {
	priority := p.byLatestStart(late)
	for i, s := range starts {
		if s.Known() && p.Graph.Progress[i] == network.Open {
			priority[i] = int64(s)
		}
	}
	return priority
}

// fits says whether times claim no limit beyond its size.
func (p *Problem) fits(t *network.Times) bool {
	profiles := make([]profile, len(p.Limits))
	for u := range p.Uses {
		use := &p.Uses[u]
		from := t.Start[use.From]
		if p.heldAlready(use) {
			from = p.Graph.AsOf
		}
		profiles[use.Limit].add(from, t.Finish[use.To], use.Amount)
	}
	for l := range profiles {
		if _, ok := profiles[l].clash(worktime.Ever, worktime.Never, p.Limits[l].Size); !ok {
			return false
		}
	}
	return true
}

// Better is the best of a schedule and of some bred from it.
func Better(p *Problem, near Schedule, early, late *network.Times, bound worktime.Instant, effort Effort) Schedule {
	b := breederFor(p, early, late, effort)
	b.Offer(near)
	b.Run(effort.Schedules-b.Made, bound, effort.Stop)
	if b.Kept && len(b.Best.Barred) == 0 && b.Best.before(&near) {
		return b.Best
	}
	return near
}
