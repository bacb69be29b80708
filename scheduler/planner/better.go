package planner

import (
	"slices"

	"gaugerod/scheduler"
)

// Better is the plan that a longer search of the same job leads to, and whether it is
// another one than before: the one found, if it comes nearer to the aims in their
// order and gives up nothing that the plan before kept; else the plan before, with
// what the search has proven of it. Goods that lie about for less long are not reason
// enough to move people.
func Better(was, found *scheduler.Plan) (plan *scheduler.Plan, other bool) {
	switch nearer := compareAims(was, found); {
	case nearer < 0 && keepsAll(was, found):
		return found, true
	case nearer == 0:
		return prove(was, found)
	}
	return was, false
}

// compareAims is negative where the second plan comes nearer to due days, finish and
// visits, in this order.
func compareAims(was, found *scheduler.Plan) int {
	reached := func(p *scheduler.Plan, kind scheduler.AimKind) int64 {
		if a := aim(p, kind); a != nil {
			return a.Reached
		}
		return 0
	}
	for _, kind := range []scheduler.AimKind{scheduler.AimDueDays, scheduler.AimFinish, scheduler.AimVisits} {
		if d := reached(found, kind) - reached(was, kind); d != 0 {
			return int(max(min(d, 1), -1))
		}
		if kind == scheduler.AimFinish && !found.Finish.Equal(was.Finish) { // in time that the site does not work
			return found.Finish.Compare(was.Finish)
		}
	}
	return 0
}

// keepsAll says whether a plan keeps what another one does: every statement, and every
// window that people were promised.
func keepsAll(was, found *scheduler.Plan) bool {
	if len(found.Contradictions) > len(was.Contradictions) {
		return false
	}
	for k := range found.Alerts {
		a := &found.Alerts[k]
		if a.Kind == scheduler.PromiseBroken && !slices.ContainsFunc(was.Alerts, func(b scheduler.Alert) bool { return b.Key == a.Key }) {
			return false
		}
	}
	return true
}

// prove is a plan with what was proven of one that comes as near to its aims.
func prove(was, found *scheduler.Plan) (plan *scheduler.Plan, other bool) {
	if !found.Bound.After(was.Bound) && (was.Proven || !found.Proven) {
		return was, false
	}
	p := *was
	p.Bound, p.BoundReason, p.Proven = found.Bound, found.BoundReason, found.Proven
	p.Aims = slices.Clone(was.Aims)
	for _, kind := range []scheduler.AimKind{scheduler.AimDueDays, scheduler.AimFinish} {
		if is, new := aim(&p, kind), aim(found, kind); is != nil && new != nil && new.Least >= is.Least {
			*is = *new
		}
	}
	return &p, true
}

// aim is how near a plan comes to an aim, nil where it does not say.
func aim(p *scheduler.Plan, kind scheduler.AimKind) *scheduler.Aim {
	for k := range p.Aims {
		if p.Aims[k].Kind == kind {
			return &p.Aims[k]
		}
	}
	return nil
}
