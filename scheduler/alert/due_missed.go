package alert

import (
	"cmp"
	"fmt"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// duesMissed: a step is planned to finish after its due day: grave. It was finished
// after its due day: note.
func (v *view) duesMissed() {
	for k := range v.plan.Dues {
		d := &v.plan.Dues[k]
		s := v.step(d.Step)
		if s == nil || !d.Planned.After(d.By) {
			continue
		}
		late := v.amount(d.Margin)
		a := scheduler.Alert{
			Key: key(scheduler.DueMissed, d.ID), Kind: scheduler.DueMissed, Severity: scheduler.Grave,
			Steps: []scheduler.ID{d.Step}, Places: s.Places, Trades: s.Trades,
			Days:     []worktime.Date{v.lastDate(d.By), v.lastDate(d.Planned)},
			Sentence: fmt.Sprintf("%s is due on %s and comes on %s, %s late.", quote(d.Title), v.by(d.By), v.by(d.Planned), late),
			Remedy:   v.shorten(s),
		}
		if done(s) {
			a.Key, a.Severity = key(scheduler.DueMissed, d.ID, "past"), scheduler.Note
			a.Sentence = fmt.Sprintf("%s was due on %s and came on %s, %s late.", quote(d.Title), v.by(d.By), v.by(d.Planned), late)
			a.Remedy = "Tell whoever counted on that day."
		}
		v.add(a)
	}
}

// shorten names the longest undone steps on the chain that drives a step.
func (v *view) shorten(s *scheduler.PlannedStep) string {
	chain := v.driving(s)
	slices.SortStableFunc(chain, func(a, b *scheduler.PlannedStep) int {
		return cmp.Compare(b.Finish.Sub(b.Start), a.Finish.Sub(a.Start))
	})
	var words []string
	for _, c := range chain {
		if c.Finish.After(c.Start) {
			words = append(words, v.called(c.ID))
		}
	}
	if len(words) > 3 {
		words = words[:3]
	}
	if len(words) == 0 {
		return "Agree another day with whoever counts on this one."
	}
	return "Shorten or overlap what drives it, the longest first: " + list(words) + "; or agree another day."
}

// driving is the undone steps from a step back along what holds each where it is.
func (v *view) driving(s *scheduler.PlannedStep) []*scheduler.PlannedStep {
	var chain []*scheduler.PlannedStep
	seen := map[scheduler.ID]bool{}
	for s != nil && !seen[s.ID] && !done(s) {
		seen[s.ID] = true
		chain = append(chain, s)
		var back *scheduler.PlannedStep
		for _, d := range s.Drivers {
			if back = v.step(d.Step); back != nil {
				break
			}
		}
		s = back
	}
	return chain
}
