package web

import (
	"slices"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// weeksAhead is how far the look-ahead reaches. Common practice, no source.
const weeksAhead = 6

// aheadEntry is one week of the look-ahead.
type aheadEntry struct {
	Days     Line
	Href     string
	Comes    []Line // who comes, and where
	Arrives  Line
	Releases Line // hold points planned for it
	Due      Line
	Outdoors Line // work that asks for something of the weather
	Missing  int  // what its tasks wait for that has its gate still shut
}

// lookAhead is the six weeks that follow a week.
func (b *board) lookAhead(w week) []aheadEntry {
	all := make([]aheadEntry, 0, weeksAhead)
	for n := range worktime.Date(weeksAhead) {
		next := b.weekOf(w.monday + 7*(n+1))
		e := aheadEntry{Days: b.span(next.monday, next.monday+6), Href: b.with("", "week", next.monday.String())}
		e.Comes = b.comers(next)
		e.Arrives, e.Releases = b.gatesPlanned(next)
		e.Due, e.Outdoors = b.duesIn(next), b.outdoors(next)
		e.Missing = b.shutBefore(next)
		all = append(all, e)
	}
	return all
}

// comers is each trade that has a visit beginning in a week, with its places.
func (b *board) comers(w week) []Line {
	var order []scheduler.ID
	where := map[scheduler.ID][]string{}
	for _, v := range b.Plan.Windows {
		if !w.hasTime(v.From) {
			continue
		}
		if where[v.Trade] == nil {
			order = append(order, v.Trade)
		}
		if place := b.place(v.Place); !slices.Contains(where[v.Trade], place) {
			where[v.Trade] = append(where[v.Trade], place)
		}
	}
	slices.SortFunc(order, func(x, y scheduler.ID) int { return strings.Compare(b.trade(x).Text, b.trade(y).Text) })
	lines := make([]Line, 0, len(order))
	for _, t := range order {
		lines = append(lines, say(b.trade(t), ": "+listed(where[t])))
	}
	return lines
}

// gatesPlanned is the deliveries and the other hold points that are planned for a week.
func (b *board) gatesPlanned(w week) (arrive, release Line) {
	var come, other []Line
	for k := range b.Plan.Holds {
		h := &b.Plan.Holds[k]
		switch {
		case h.State == scheduler.Complete || !w.hasTime(h.Planned):
		case h.Kind == scheduler.Delivery:
			come = append(come, say(b.step(h.ID), " (", b.to(b.on(h.Planned), h.ID, heldThere), ")"))
		default:
			other = append(other, say(b.step(h.ID), " ("+string(h.Kind)+", ", b.to(b.on(h.Planned), h.ID, heldThere), ")"))
		}
	}
	return together(come), together(other)
}

// duesIn is the due days of a week.
func (b *board) duesIn(w week) Line {
	var lines []Line
	for _, d := range b.Plan.Dues {
		if w.hasTime(d.By.Add(-time.Minute)) && !b.done(d.Step) {
			lines = append(lines, say(d.Title+", ", b.onEnd(d.By).is(dueDay), ", "+b.margin(d.Margin)))
		}
	}
	return together(lines)
}

// shutBefore is how many gates are shut that stand before a task of a week.
func (b *board) shutBefore(w week) int {
	shut := map[scheduler.ID]bool{}
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.Kind != scheduler.TaskStep || s.State == scheduler.Complete || !w.hasTime(s.Start) {
			continue
		}
		for _, n := range s.Needs {
			if !n.Met && b.holds[n.Step] != nil {
				shut[n.Step] = true
			}
		}
	}
	return len(shut)
}
