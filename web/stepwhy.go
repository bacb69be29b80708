package web

import (
	"slices"
	"strconv"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/why"
)

func number0(n int) string { return strconv.Itoa(n) }

// stepDates is the table of a step's dates.
func (b *board) stepDates(s *scheduler.PlannedStep) []dateRow {
	if s.State == scheduler.Complete {
		return []dateRow{{"As recorded", b.to(b.at(s.Start), s.ID, heldThere), b.to(b.atEnd(s.Finish), s.ID, heldThere)}}
	}
	return []dateRow{
		{"Planned", b.to(b.at(s.Start), s.ID, heldThere), b.to(b.atEnd(s.Finish), s.ID, heldThere)},
		{"Earliest, if crews and places were no matter", b.to(b.at(s.EarliestStart), s.ID, itsWaits), b.to(b.atEnd(s.EarliestFinish), s.ID, itsWaits)},
		{"Latest, so that the due days hold", b.to(b.at(s.LatestStart), s.ID, itsWaits), b.to(b.atEnd(s.LatestFinish), s.ID, itsWaits)},
	}
}

// floats explains how far the step can slip, the most useful figure first.
func (b *board) floats(s *scheduler.PlannedStep) []Line {
	if s.State == scheduler.Complete {
		return nil
	}
	unit := b.work
	if s.Elapsed {
		unit = func(m int64) string { return elapsed(time.Duration(max(m, -m)) * time.Minute) }
	}
	amount := func(m int64) Part { return heavy(unit(m)) }
	var lines []Line
	switch {
	case s.Slack < 0:
		lines = append(lines, say("Slack in the plan: ", amount(s.Slack), " too late. It must be done sooner than planned for the due days to hold."))
	case s.Slack == 0:
		lines = append(lines, say("Slack in the plan: ", heavy("none"), ". If it slips, a due day or the finish slips with it."))
	default:
		lines = append(lines, say("Slack in the plan: ", amount(s.Slack), ", with crews and places counted: done by ", b.to(b.atEnd(s.PlanLatest), s.ID, slipsTo), ", the due days still hold."))
	}
	if s.FreeSlack > 0 {
		lines = append(lines, say("Of that it can slip ", amount(s.FreeSlack), " without anybody else moving: done by ", b.to(b.atEnd(s.PlanFree), s.ID, slipsTo), "."))
	} else {
		moves := say("somebody else moves.")
		if held := b.heldUpBy(s.ID); len(held) > 0 {
			moves = say("these move with it: ", b.someSteps(held), ".")
		}
		lines = append(lines, say("If it slips at all, ", moves))
	}
	switch {
	case s.TotalFloat < 0:
		lines = append(lines, say("Total float, by the waits alone: ", amount(s.TotalFloat), " short."))
	case s.TotalFloat == 0:
		lines = append(lines, say("Total float, by the waits alone: ", heavy("none"), "."))
	default:
		lines = append(lines, say("Total float, by the waits alone: ", amount(s.TotalFloat), "; free float: ", amount(s.FreeFloat), "."))
	}
	if s.StartFloat != s.FinishFloat {
		lines = append(lines, say("Its start can slip by ", amount(s.StartFloat), " and its finish by ", amount(s.FinishFloat), ": the tighter end counts."))
	}
	switch {
	case s.Critical:
		lines = append(lines, say("It is critical."))
	case s.NearCritical:
		lines = append(lines, say("It is near-critical: within "+b.work(b.Plan.NearCritical)+" of it."))
	}
	return lines
}

// heldUpBy is the steps that one step holds where they are planned, in the order of their
// days.
func (b *board) heldUpBy(step scheduler.ID) []scheduler.ID {
	var all []*scheduler.PlannedStep
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.ID != step && slices.ContainsFunc(s.Drivers, func(d scheduler.Driver) bool { return d.Step == step }) {
			all = append(all, s)
		}
	}
	slices.SortStableFunc(all, func(x, y *scheduler.PlannedStep) int { return x.Start.Compare(y.Start) })
	ids := make([]scheduler.ID, len(all))
	for k, s := range all {
		ids[k] = s.ID
	}
	return ids
}

// wait is one wait in words; other is the step at its other end.
func (b *board) wait(w *scheduler.PlannedWait, other scheduler.ID, into bool) waitEntry {
	e := waitEntry{Waived: w.Waived, Tight: w.Tight}
	ends := say("the "+w.FromEnd+" of ", b.stepAt(other))
	mine := "its " + w.ToEnd
	if !into {
		ends = say("the "+w.ToEnd+" of ", b.stepAt(other))
		mine = "its " + w.FromEnd
	}
	amount := ""
	if w.Least != "" && w.Least[0] != '0' {
		amount = "at least " + w.Least + " "
	}
	if w.Most != "" {
		if amount != "" {
			amount += "and "
		}
		amount += "at most " + w.Most + " "
	}
	if into {
		e.Says = say(upper(mine)+" comes "+amount+"after ", ends, ".")
	} else {
		e.Says = say("After "+mine+" comes, "+amount+"later, ", ends, ".")
		if amount == "" {
			e.Says = say("After "+mine+" comes ", ends, ".")
		}
	}
	for _, t := range []string{reasonWords[w.Reason], w.Note, w.Origin, sourceWords(w.Source)} {
		if t != "" {
			if e.Detail != "" {
				e.Detail += "; "
			}
			e.Detail += t
		}
	}
	if w.Dropped {
		e.Detail += "; set aside in this plan, because it contradicts other statements"
	}
	return e
}

var reasonWords = map[scheduler.Reason]string{
	scheduler.Cure: "it has to cure", scheduler.Buried: "the later covers the earlier", scheduler.Access: "it cannot be reached before",
	scheduler.Exposure: "it may not stay open longer", scheduler.Sense: "the sense of the work", "": "no reason given",
}

func sourceWords(s string) string {
	if s == "" {
		return ""
	}
	return "source: " + s
}

// whyEntry is one link of the chain behind a step's day: the step, its days, and
// all that holds it there, what the chain goes on with first.
type whyEntry struct {
	Step Line
	Days Line
	Held Line
	Also []Line
}

// why is the whole chain that holds the step on its day, from the step back to as of.
func (b *board) why(s *scheduler.PlannedStep) []whyEntry {
	chain, err := why.Chain(b.Plan, s.ID)
	if err != nil {
		return nil // only for steps that the plan does not have
	}
	var all []whyEntry
	for _, link := range chain {
		e := whyEntry{Step: b.stepAt(link.Step), Days: b.fromTo(b.steps[link.Step])}
		if b.done(link.Step) {
			e.Days = say(doneWord(b.steps[link.Step])+" ", b.endOf(b.steps[link.Step]))
		}
		for _, d := range link.Held {
			held := b.holding(&d, link.Step).capital()
			if d.Step != "" && d.Step != link.Next && d.Step != link.Step {
				held = say(held, " (", b.step(d.Step), ")")
			}
			if held = say(held, "."); e.Held == nil {
				e.Held = held
			} else {
				e.Also = append(e.Also, held)
			}
		}
		all = append(all, e)
	}
	return all
}
