package web

import (
	"slices"

	"gaugerod/scheduler"
)

// mostMade is how many things that are made are told one by one.
const mostMade = 8

// made is what is there already, or in the making, of what a change of a step would
// concern: the work begun in its places, and the legs begun of the orders that go in
// there or that it is a part of.
func (b *board) made(s *scheduler.PlannedStep) folded[Line] {
	orders := map[scheduler.ID]bool{}
	note := func(id scheduler.ID) {
		if k, ok := b.Network.Find(id); ok && b.Network.Steps[k].Order != "" {
			orders[b.Network.Steps[k].Order] = true
		}
	}
	note(s.ID)
	for k := range b.Plan.Waits {
		if w := &b.Plan.Waits[k]; w.ToID == s.ID || b.besides(s, b.steps[w.ToID]) {
			note(w.FromID)
		}
	}
	var begun []*scheduler.PlannedStep
	for k := range b.Plan.Steps {
		o := &b.Plan.Steps[k]
		if o.ID == s.ID || o.State != scheduler.Complete && o.State != scheduler.Underway {
			continue
		}
		n, _ := b.Network.Find(o.ID)
		if orders[b.Network.Steps[n].Order] || b.besides(s, o) {
			begun = append(begun, o)
		}
	}
	slices.SortStableFunc(begun, func(x, y *scheduler.PlannedStep) int { return y.Finish.Compare(x.Finish) })
	lines := make([]Line, len(begun))
	for k, o := range begun {
		lines[k] = say(b.stepAt(o.ID), ": ", b.standing(o), ".")
	}
	return foldAfter(lines, mostMade)
}

// besides says whether a step is work in a place of another one.
func (b *board) besides(s, other *scheduler.PlannedStep) bool {
	if other == nil || other.Kind == scheduler.StageStep {
		return false
	}
	return slices.ContainsFunc(other.Places, func(p scheduler.ID) bool { return slices.Contains(s.Places, p) })
}
