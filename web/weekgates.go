package web

import (
	"cmp"
	"slices"
	"time"

	"gaugerod/scheduler"
)

// How far ahead of the week's end its page looks, in days.
const (
	lookToBook   = 7
	lookToDecide = 21
	lookToOrder  = 28
)

// gateEntry is a hold point that wants something of somebody in the week.
type gateEntry struct {
	Gate   Line
	Says   Line
	Status Line
	Late   bool
	Book   string // where to book it, empty where it needs no booking
	Look   string // where to release or refuse it
	sort   time.Time
}

// gates is the hold points to book or to release in the week. Decisions and
// deliveries have sections of their own.
func (b *board) gates(w week) []gateEntry {
	var all []gateEntry
	for k := range b.Plan.Holds {
		h := &b.Plan.Holds[k]
		if h.State == scheduler.Complete || h.Kind == scheduler.Delivery || h.Kind == scheduler.Decision {
			continue
		}
		href := b.link("/steps/" + string(h.ID))
		e := gateEntry{Gate: b.stepAt(h.ID), Status: b.holdStatus(h), sort: h.Planned}
		booked := h.Booked != nil || h.TellBy == nil
		switch {
		case !booked && w.within(*h.TellBy, lookToBook):
			e.Says = say("Tell "+b.who(h.By)+" by ", b.to(b.on(*h.TellBy), h.ID, slipsTo), "; planned for ", b.to(b.on(h.Planned), h.ID, heldThere), ", needed by ", b.to(b.onEnd(h.NeedBy), h.ID, slipsTo), ".")
			e.Late = h.TellBy.Before(b.begins)
			e.Book, e.sort = href+"#book", *h.TellBy
			if b.nothingBefore(h.ID) {
				e.Look = href + "#release"
			}
		case w.hasTime(h.Planned):
			e.Says = say("To be released by "+cmp.Or(b.who(h.By), "somebody named")+" on ", b.to(b.on(h.Planned), h.ID, heldThere), "; needed by ", b.to(b.onEnd(h.NeedBy), h.ID, slipsTo), ".")
			e.Look = href + "#release"
		default:
			continue
		}
		all = append(all, e)
	}
	slices.SortStableFunc(all, func(x, y gateEntry) int { return x.sort.Compare(y.sort) })
	return all
}

// nothingBefore says whether all that a step waits for is done.
func (b *board) nothingBefore(id scheduler.ID) bool {
	s := b.steps[id]
	return s != nil && len(b.unmet(s)) == 0
}

// holdStatus is how a hold point stands: "inspection, The inspector, booked for …".
func (b *board) holdStatus(h *scheduler.PlannedHold) Line {
	l := say(string(h.Kind))
	if h.Witness {
		l = say("witness point, " + string(h.Kind))
	}
	if h.By != "" {
		l = say(l, ", "+b.who(h.By))
	}
	f := b.facts[h.ID]
	switch {
	case f != nil && f.Released != nil:
		return say(l, ", released on ", b.to(b.onDate(f.Released.Day), h.ID, heldThere))
	case f != nil && f.Refused != nil:
		return say(l, ", refused on ", b.to(b.onDate(f.Refused.Day), h.ID, heldThere))
	case h.Booked != nil:
		return say(l, ", booked for ", b.to(b.at(*h.Booked), h.ID, heldThere))
	case f != nil && f.Expected != nil:
		return say(l, ", expected on ", b.to(b.onDate(f.Expected.Day), h.ID, heldThere))
	case h.TellBy != nil:
		return say(l, ", not booked")
	default:
		return say(l, ", planned for ", b.to(b.on(h.Planned), h.ID, heldThere))
	}
}

// dueEntry is something that somebody must do by a day.
type dueEntry struct {
	By   Part
	Says Line
	Late bool
	sort time.Time
}

// decisions is what has to be decided soon, and the samples and mock-ups to be agreed.
func (b *board) decisions(w week) []dueEntry {
	var all []dueEntry
	for k := range b.Plan.Holds {
		h := &b.Plan.Holds[k]
		if h.Kind != scheduler.Decision && h.Kind != scheduler.MockUp || h.State == scheduler.Complete || !w.within(h.NeedBy, lookToDecide) {
			continue
		}
		e := dueEntry{By: b.to(b.onEnd(h.NeedBy), h.ID, slipsTo), Late: h.NeedBy.Before(b.begins), sort: h.NeedBy}
		e.Says = say(b.step(h.ID), " ("+string(h.Kind)+"), by "+b.who(h.By)+". ")
		if len(h.Holds) > 0 {
			e.Says = say(e.Says, "Without it these wait: ", b.someSteps(h.Holds), ".")
		}
		all = append(all, e)
	}
	slices.SortStableFunc(all, func(x, y dueEntry) int { return x.sort.Compare(y.sort) })
	return all
}

// someSteps names steps, at most four of them.
func (b *board) someSteps(ids []scheduler.ID) Line {
	const most = 4
	var lines []Line
	for k, id := range ids {
		if k == most {
			lines = append(lines, say(number(len(ids)-most, "more step")))
			break
		}
		lines = append(lines, say(b.step(id)))
	}
	return together(lines)
}

// toOrder is the orders whose last day to be placed is near or past.
func (b *board) toOrder(w week) []dueEntry {
	var all []dueEntry
	for k := range b.Plan.Orders {
		o := &b.Plan.Orders[k]
		if o.State == scheduler.Underway || o.State == scheduler.Complete || !w.within(o.OrderBy, lookToOrder) {
			continue
		}
		e := dueEntry{By: b.to(b.on(o.OrderBy), b.placing(o), slipsTo), Late: o.OrderBy.Before(b.begins), sort: o.OrderBy}
		e.Says = say(Part{Text: o.Title, Href: b.link("/orders") + "#" + string(o.ID)}, " from "+cmp.Or(b.who(o.Supplier), "a supplier not named"),
			", to be here by ", b.to(b.onEnd(o.NeedBy), b.coming(o), slipsTo), "; placed as planned on ", b.to(b.on(o.Planned), b.placing(o), heldThere), " it comes on ", b.to(b.on(o.Delivery), b.coming(o), heldThere), ", "+b.margin(o.Margin)+".")
		all = append(all, e)
	}
	slices.SortStableFunc(all, func(x, y dueEntry) int { return x.sort.Compare(y.sort) })
	return all
}
