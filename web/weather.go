package web

import (
	"slices"
	"strconv"
	"strings"

	"gaugerod/scheduler"
)

// weatherPart is what a week needs of the sky, and what could go on without it.
type weatherPart struct {
	Needs   []Line
	Instead []Line // work of later weeks that what it waits for would let go ahead
}

// weather is the work of a week that asks for dry, calm or warm days. The plan does not
// move work for the weather; whoever knows the forecast does.
func (b *board) weather(w week) weatherPart {
	var part weatherPart
	wet := false // some of it cannot go on in rain
	for _, s := range b.inTheOpen(w) {
		part.Needs = append(part.Needs, say(b.stepAt(s.ID), ": ", b.daysOf(s), "; "+weatherWords(b.weatherOf(s.ID))+"."))
		wet = wet || b.weatherOf(s.ID).Dry
	}
	if wet {
		part.Instead = b.insteadOf(w)
	}
	return part
}

// inTheOpen is the steps of a week that ask for something of the weather, the earliest
// first.
func (b *board) inTheOpen(w week) []*scheduler.PlannedStep {
	var all []*scheduler.PlannedStep
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.State != scheduler.Complete && w.has(s.Start, s.Finish) && b.weatherOf(s.ID) != nil {
			all = append(all, s)
		}
	}
	slices.SortStableFunc(all, func(x, y *scheduler.PlannedStep) int { return x.Start.Compare(y.Start) })
	return all
}

// weatherOf is what a step asks of the weather, nil: nothing.
func (b *board) weatherOf(id scheduler.ID) *scheduler.Weather {
	if k, ok := b.Network.Find(id); ok {
		return b.Network.Steps[k].Weather
	}
	return nil
}

// signed is a number with a minus where it has one, not a hyphen.
func signed(n int) string { return strings.Replace(strconv.Itoa(n), "-", "−", 1) }

// weatherWords says it: "dry, wind under 8 m/s as the mean of the day, 4 °C or more".
func weatherWords(w *scheduler.Weather) string {
	var words []string
	if w.Dry {
		words = append(words, "dry")
	}
	if w.WindBelow != nil {
		words = append(words, "wind under "+strconv.Itoa(*w.WindBelow)+" m/s")
	}
	if w.MinTemperature != nil {
		words = append(words, signed(*w.MinTemperature)+" °C or more")
	}
	return "needs it " + listed(words)
}

// mostInstead is how many pieces of work that could be brought forward are named.
const mostInstead = 5

// insteadOf is work planned for later weeks that does not ask for a dry day and, by what
// it waits for, could be done in this one: the next planned first.
func (b *board) insteadOf(w week) []Line {
	var all []*scheduler.PlannedStep
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.Kind != scheduler.TaskStep || s.State == scheduler.Complete || s.State == scheduler.Underway || s.Start.Before(w.to) || !s.EarliestStart.Before(w.to) {
			continue
		}
		if need := b.weatherOf(s.ID); need == nil || !need.Dry {
			all = append(all, s)
		}
	}
	slices.SortStableFunc(all, func(x, y *scheduler.PlannedStep) int { return x.Start.Compare(y.Start) })
	var lines []Line
	for _, s := range all[:min(mostInstead, len(all))] {
		l := say(b.stepAt(s.ID), ", ", b.fromTo(s))
		if len(s.Trades) > 0 {
			l = say(l, "; ring ", b.tradeNames(s.Trades))
		}
		lines = append(lines, say(l, "."))
	}
	return lines
}

// outdoors is the work of a week that asks for something of the weather, in one line.
func (b *board) outdoors(w week) Line {
	const most = 6
	steps := b.inTheOpen(w)
	var lines []Line
	for k, s := range steps {
		if k == most {
			lines = append(lines, say(number(len(steps)-most, "more step")))
			break
		}
		lines = append(lines, say(b.stepAt(s.ID), " (", b.startOf(s), "; "+weatherWords(b.weatherOf(s.ID))+")"))
	}
	return together(lines)
}
