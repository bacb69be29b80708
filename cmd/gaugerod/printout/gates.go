package printout

import (
	"fmt"
	"slices"
	"time"

	"gaugerod/cmd/gaugerod/terminal"
	"gaugerod/scheduler"
)

// date is the width to which a column of days may be wrapped: "Mon 13".
const date = 6

// holds lists the hold points to be released, by the day by which they are needed.
func (p *printout) holds() {
	var open []*scheduler.PlannedHold
	later := 0
	for k := range p.plan.Holds {
		h := &p.plan.Holds[k]
		if h.State == scheduler.Complete || !p.concernsHold(h) {
			continue
		}
		if soonest(h.Planned, h.NeedBy, h.TellBy).Before(p.horizon) {
			open = append(open, h)
		} else {
			later++
		}
	}
	if len(open)+later == 0 {
		return
	}
	slices.SortStableFunc(open, func(a, b *scheduler.PlannedHold) int { return a.NeedBy.Compare(b.NeedBy) })
	p.Heading("Hold points to be released")
	var rows []terminal.Row
	for _, h := range open {
		kind := string(h.Kind)
		if h.Witness {
			kind += ", witness point"
		}
		if h.State == scheduler.Refused {
			kind += ", refused"
		}
		row := terminal.Cells(lines(h.Title, "("+string(h.ID)+")"), kind, p.words.name(h.By), p.tell(h),
			p.words.ends(h.Planned), p.words.ends(h.NeedBy), p.words.ends(h.LatestBy), p.words.margin(h.Margin))
		if h.State == scheduler.Refused {
			row[1].Ink = terminal.Red
		}
		if h.Margin < 0 {
			row[7].Ink = terminal.Red
		}
		rows = append(rows, row)
	}
	p.Table([]terminal.Column{
		{Head: "hold point, name", Least: 12},
		{Head: "kind", Least: 7},
		{Head: "released by", Least: 8},
		{Head: "tell", Least: date},
		{Head: "planned", Least: date},
		{Head: "needed by", Least: date},
		{Head: "latest", Least: date},
		{Head: "to spare", Least: 6},
	}, rows)
	p.more(later, "hold point")
}

func (p *printout) concernsHold(h *scheduler.PlannedHold) bool {
	return !p.view.narrowed() || p.shown[h.ID] || p.anyShown(h.Holds)
}

func (p *printout) tell(h *scheduler.PlannedHold) string {
	switch {
	case h.Booked != nil:
		return "booked " + p.words.starts(*h.Booked)
	case h.TellBy != nil:
		return "by " + p.words.ends(*h.TellBy)
	}
	return ""
}

func soonest(a, b time.Time, c *time.Time) time.Time {
	if b.Before(a) {
		a = b
	}
	if c != nil && c.Before(a) {
		a = *c
	}
	return a
}

// more says how many were left out, so that nobody takes a part for the whole.
func (p *printout) more(n int, thing string) {
	if n > 0 {
		p.Line("", fmt.Sprintf("And %s later on: --weeks shows more.", count(int64(n), thing)))
	}
}

// orders lists what is still to be delivered, by the day by which it must be ordered.
func (p *printout) orders() {
	var open []*scheduler.PlannedOrder
	for k := range p.plan.Orders {
		if o := &p.plan.Orders[k]; o.State != scheduler.Complete && p.concernsOrder(o) {
			open = append(open, o)
		}
	}
	slices.SortStableFunc(open, func(a, b *scheduler.PlannedOrder) int { return a.OrderBy.Compare(b.OrderBy) })
	rows := make([]terminal.Row, 0, len(open))
	for _, o := range open {
		order := p.words.ends(o.OrderBy)
		if o.State == scheduler.Underway {
			order = "placed"
		}
		row := terminal.Cells(o.Title, p.words.name(o.Supplier), order, p.words.ends(o.LatestOrder), p.words.ends(o.Delivery), p.words.ends(o.NeedBy), p.words.margin(o.Margin), o.StandIn)
		if o.State == scheduler.Underway {
			row[3].Text = ""
		}
		if o.Margin < 0 {
			row[6].Ink = terminal.Red
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return
	}
	p.Heading("Orders")
	p.Table([]terminal.Column{
		{Head: "order", Least: 9},
		{Head: "from", Least: 8},
		{Head: "order by", Least: date},
		{Head: "at the latest", Least: date},
		{Head: "comes", Least: date},
		{Head: "needed by", Least: date},
		{Head: "to spare", Least: 6},
		{Head: "if it is late", Least: 8},
	}, rows)
}

func (p *printout) concernsOrder(o *scheduler.PlannedOrder) bool {
	return !p.view.narrowed() || p.shown[o.FirstUse] || p.anyShown(o.Stages) || (p.view.Trade != "" && o.Supplier == p.view.Trade)
}

// windows lists for each visit of a trade to a place its four days.
func (p *printout) windows() {
	var coming []*scheduler.Window
	later := 0
	for k := range p.plan.Windows {
		w := &p.plan.Windows[k]
		if !p.ofTrade(w.Trade) || !p.inPlace(w.Place) || !w.Until.After(p.plan.AsOf) {
			continue
		}
		if p.view.narrowed() || w.From.Before(p.horizon) {
			coming = append(coming, w)
		} else {
			later++
		}
	}
	if len(coming)+later == 0 {
		return
	}
	slices.SortStableFunc(coming, func(a, b *scheduler.Window) int { return a.From.Compare(b.From) })
	p.Heading("Windows of access")
	var rows []terminal.Row
	for _, w := range coming {
		rows = append(rows, terminal.Cells(
			lines(p.words.name(w.Trade), p.words.name(w.Place)), p.words.day(w.Earliest),
			p.words.days(w.From, w.Until),
			p.words.endDay(w.OutForOthers), p.words.endDay(w.OutForDue), p.words.endDay(w.TellBy),
			p.words.names(w.Before), p.words.names(w.After)))
	}
	p.Table([]terminal.Column{
		{Head: "trade, place", Least: 10},
		{Head: "earliest in", Least: 8},
		{Head: "planned", Least: date},
		{Head: "out, nobody moves", Least: date},
		{Head: "out, due days hold", Least: date},
		{Head: "tell by", Least: date},
		{Head: "before it", Least: 9},
		{Head: "after it", Least: 9},
	}, rows)
	p.more(later, "window")
}
