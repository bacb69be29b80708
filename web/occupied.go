package web

import (
	"slices"

	"gaugerod/scheduler"
)

// occupiedEntry is a place or gear that is kept over several steps: a scaffold, a lift.
type occupiedEntry struct {
	Says  Line
	First Line // what must be done before it may go; empty: nothing is left
	Why   Line // what holds it there
}

// occupied is what stands, or is to stand, between a week and the end of the weeks ahead.
func (b *board) occupied(w week) []occupiedEntry {
	var all []occupiedEntry
	for k := range b.Network.Occupations {
		o := &b.Network.Occupations[k]
		from, to := b.steps[o.From], b.steps[o.To]
		if from == nil || to == nil || to.State == scheduler.Complete || !w.within(from.Start, 7*weeksAhead) {
			continue
		}
		all = append(all, b.occupiedBy(o, from, to))
	}
	return all
}

func (b *board) occupiedBy(o *scheduler.Occupation, from, to *scheduler.PlannedStep) occupiedEntry {
	what, stands := say(heavy(o.Title)), ": from "
	if o.Place != "" {
		what = say(what, ", "+b.place(o.Place))
	}
	if begun(from) {
		stands = ": there since "
	}
	e := occupiedEntry{Says: say(what, stands, b.startOf(from), ". It may go once ", b.step(to.ID), " is done, ", b.fromTo(to), ".")}
	left := b.beforeItGoes(o, to)
	if len(left) == 0 {
		e.First = say("Nothing that needs it is left to be done.")
		return e
	}
	var lines []Line
	for _, s := range left {
		lines = append(lines, say(b.step(s.ID), " (", b.endOf(s), ")"))
	}
	e.First = say("First must be done: ", together(lines), ".")
	if why := b.whyNotNow(to.ID); len(why) > 0 {
		e.Why = say("Why not sooner: ", why, ".")
	}
	return e
}

// beforeItGoes is the steps that are left to be done while an occupation lasts: those
// which it lets in, and what its last step waits for. The last to be done comes last.
func (b *board) beforeItGoes(o *scheduler.Occupation, to *scheduler.PlannedStep) []*scheduler.PlannedStep {
	var all []*scheduler.PlannedStep
	add := func(id scheduler.ID) {
		s := b.steps[id]
		if s != nil && s != to && id != o.From && s.State != scheduler.Complete && !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	for _, id := range o.Admits {
		add(id)
	}
	for _, n := range to.Needs {
		add(n.Step)
	}
	slices.SortStableFunc(all, func(x, y *scheduler.PlannedStep) int { return x.Finish.Compare(y.Finish) })
	return all
}
