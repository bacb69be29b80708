package web

import (
	"strings"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// chosenStep is a step of a picture whose waits are drawn, with all that holds it in words.
type chosenStep struct {
	Step   Line
	Says   string
	Held   []Line // why it is not sooner, all of it
	Before folded[waitEntry]
	After  folded[waitEntry]
}

// mostWaits is how many waits of a step are told at once.
const mostWaits = 8

func (b *board) chosen(id scheduler.ID) *chosenStep {
	s := b.steps[id]
	if s == nil {
		return nil
	}
	is := &chosenStep{Step: b.stepAt(id), Says: strings.TrimSpace(upper(stateWord(s)) + ", " + b.days(s) + ". " + b.saysWas(s))}
	if !begun(s) {
		for _, d := range s.Drivers {
			is.Held = append(is.Held, b.drivenBy(s, d))
		}
	}
	before, after := b.waitsAround(id)
	is.Before, is.After = foldAfter(before, mostWaits), foldAfter(after, mostWaits)
	return is
}

// drivenBy is one thing that holds a step, with a link to where it leads back to.
func (b *board) drivenBy(s *scheduler.PlannedStep, d scheduler.Driver) Line {
	if d.Step != "" && d.Step != s.ID {
		return say(d.Text+" (", b.step(d.Step), ")")
	}
	return say(d.Text)
}

// waitsAround is the waits into a step and out of it, in words.
func (b *board) waitsAround(id scheduler.ID) (before, after []waitEntry) {
	for k := range b.Plan.Waits {
		w := &b.Plan.Waits[k]
		if w.ToID == id {
			before = append(before, b.wait(w, w.FromID, true))
		}
		if w.FromID == id {
			after = append(after, b.wait(w, w.ToID, false))
		}
	}
	return before, after
}

// waitsOf is the same for drawing. What is waived or set aside holds nothing and is only
// told.
func (b *board) waitsOf(id scheduler.ID) []draw.Wait {
	var all []draw.Wait
	for k := range b.Plan.Waits {
		w := &b.Plan.Waits[k]
		if w.Waived == "" && !w.Dropped && w.FromID != w.ToID && (w.ToID == id || w.FromID == id) {
			all = append(all, draw.Wait{
				From: string(w.FromID), To: string(w.ToID), Tight: w.Tight,
				AtStart: w.FromEnd == scheduler.Start.String(), Start: w.ToEnd == scheduler.Start.String(),
			})
		}
	}
	return all
}
