package web

import (
	"strconv"

	"gaugerod/scheduler"
)

// mostDriving is how many of the steps that drive the finish are named at once.
const mostDriving = 6

// sureOfFinish is what the finish hangs on, and how much is in hand beside it.
func (b *board) sureOfFinish() []Line {
	var left []scheduler.ID
	driving := map[scheduler.ID]bool{}
	for _, id := range b.Plan.Driving {
		driving[id] = true
		if s := b.steps[id]; s != nil && s.State != scheduler.Complete {
			left = append(left, id)
		}
	}
	if len(left) == 0 {
		return []Line{say("All work is done.")}
	}
	var named []Line
	for _, id := range left[:min(mostDriving, len(left))] {
		named = append(named, say(b.step(id), " (", b.endOf(b.steps[id]), ")"))
	}
	if more := len(left) - mostDriving; more > 0 {
		named = append(named, say(Part{Text: number(more, "step") + " after these", Href: b.link("/places")}))
	}
	return []Line{
		say("It hangs on ", together(named), ". Where one of these takes longer or comes later, the finish moves with it."),
		b.nearlyDriving(driving),
	}
}

// nearlyDriving is how close other work comes to moving the finish or a due day.
func (b *board) nearlyDriving(driving map[scheduler.ID]bool) Line {
	near := 0
	var least *scheduler.PlannedStep
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.State == scheduler.Complete || driving[s.ID] || s.Elapsed || s.Slack > b.Plan.NearCritical {
			continue
		}
		if near++; least == nil || s.Slack < least.Slack {
			least = s
		}
	}
	if least == nil {
		return say("All other work has more than " + b.work(b.Plan.NearCritical) + " in hand.")
	}
	slack := "none in hand"
	if least.Slack > 0 {
		slack = b.work(least.Slack) + " in hand"
	}
	return say("Of the other work "+number(near, "step")+" "+have(near)+" "+b.work(b.Plan.NearCritical)+
		" or less in hand before a due day or the finish moves; least has ", b.stepAt(least.ID), ", ", b.fromTo(least), ": "+slack+".")
}

func have(n int) string {
	if n == 1 {
		return "has"
	}
	return "have"
}

// sureOf says how much of what must be ready is there.
func sureOf(ready []readyEntry, missing int, last Line) Line {
	switch {
	case len(ready) == 0:
		return nil
	case missing == 0:
		return say("How sure: all that must be ready first is there.")
	case missing == 1 && len(ready) == 1:
		return say("How sure: what must be ready first is not, and planned for ", last, ".")
	}
	return say("How sure: "+strconv.Itoa(missing)+" of "+strconv.Itoa(len(ready))+" that must be ready first are not, the last planned for ", last, ".")
}
