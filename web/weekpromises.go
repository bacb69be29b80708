package web

import (
	"slices"
	"strconv"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// promisePart is what was promised for the week before, and what became of it.
type promisePart struct {
	Sum  Line
	Each []promiseEntry
}

// promiseEntry is one promised window.
type promiseEntry struct {
	What  Line
	Word  string // kept, late, moved, not done, under way
	Good  bool
	Says  Line
	Cause []Line
	sort  worktime.Date
}

// weekBefore is what was promised to end in the week before this one, and what became of
// it. What is under way in its promised days is not judged yet.
func (b *board) weekBefore(w week) promisePart {
	var part promisePart
	kept := 0
	for k := range b.Job.Promises {
		p := &b.Job.Promises[k]
		if p.Until < w.monday-7 || p.Until >= w.monday {
			continue
		}
		e := b.promiseKept(p)
		if e.Good {
			kept++
		}
		part.Each = append(part.Each, e)
	}
	slices.SortStableFunc(part.Each, func(x, y promiseEntry) int { return int(x.sort - y.sort) })
	switch n := len(part.Each); {
	case n == 0:
		part.Sum = say("Nothing was promised to be done in the week before.")
	default:
		part.Sum = say(heavy(strconv.Itoa(kept)+" of "+strconv.Itoa(n)), " promised to be done in the week before "+were(kept)+" done in time.")
	}
	return part
}

func were(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

// promiseKept is what became of one promise.
func (b *board) promiseKept(p *scheduler.Promise) promiseEntry {
	e := promiseEntry{What: say(b.trade(p.Trade), ", "+b.place(p.Place)), Says: say("promised ", b.stretchOf(p.From, p.Until).is(promisedDay)), sort: p.Until}
	is := scheduler.StandingOf(func(id scheduler.ID) *scheduler.PlannedStep { return b.steps[id] }, p.Trade, p.Place, p.Steps)
	_, last := b.firstAndLast(p.Steps)
	switch {
	case is.Gone:
		e.Word, e.Says = "gone", say(e.Says, "; that work is no longer its work there")
	case is.Over && is.Until <= p.Until:
		e.Word, e.Good, e.Says = "kept", true, say(e.Says, "; done ", b.to(b.onDate(is.Until), last, heldThere))
	case is.Over:
		e.Word, e.Says = "late", say(e.Says, "; done ", b.to(b.onDate(is.Until), last, heldThere))
	case p.Until >= b.AsOf && !is.Moved(p.From, p.Until):
		e.Word, e.Says = "as promised so far", say(e.Says, "; planned so")
	case is.Begun:
		e.Word, e.Says = "not done", say(e.Says, "; begun, planned to be done ", b.to(b.onDate(is.Until), last, heldThere))
	case p.Until < b.AsOf:
		e.Word, e.Says = "not done", say(e.Says, "; not begun, planned for ", b.stretchOver(is.From, is.Until, p.Steps))
	default:
		e.Word, e.Says = "moved", say(e.Says, "; planned for ", b.stretchOver(is.From, is.Until, p.Steps))
	}
	e.Says = say(e.Says, ".")
	if !e.Good {
		e.Cause = b.causes(p)
	}
	return e
}

// causes is what was written down that may say why: a trade that could not come, and
// the notes on the steps.
func (b *board) causes(p *scheduler.Promise) []Line {
	var all []Line
	for k := range b.Job.Answers {
		a := &b.Job.Answers[k]
		if a.Trade != p.Trade || a.Place != p.Place || a.To < p.From || a.From > p.Until {
			continue
		}
		l := say("It could not come ", b.stretchOf(a.From, a.To).is(promisedDay))
		if a.Note != "" {
			l = say(l, ": "+a.Note)
		}
		all = append(all, l)
	}
	for _, id := range p.Steps {
		if f := b.facts[id]; f != nil && f.Note != "" && b.steps[id] != nil {
			all = append(all, say(b.step(id), ": "+f.Note))
		}
	}
	return all
}
