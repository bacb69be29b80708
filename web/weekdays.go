package web

import (
	"cmp"
	"html/template"
	"slices"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// dayEntry is one day of the week and who is there.
type dayEntry struct {
	Day     Part
	Past    bool
	Shut    string // why nobody works that day
	Visits  []visitEntry
	Callers []Line // inspectors and others who come for a hold point
}

type visitEntry struct {
	Swatch template.HTML
	Trade  Part
	Where  string
	Doing  Line
	Word   string // comes, last day, comes for the day
}

// whoComes says who comes on which day. A day on which nobody comes is left out at
// the weekend.
func (b *board) whoComes(w week) []dayEntry {
	var days []dayEntry
	for d := w.monday; d < w.monday+7; d++ {
		e := dayEntry{Day: b.onDate(d).is(spanDay), Past: d < b.AsOf, Shut: closure(b.Job, d), Visits: b.visitsOn(d), Callers: b.callersOn(d)}
		if len(e.Visits)+len(e.Callers) > 0 || e.Shut != "" || len(b.Job.Week[d.Weekday()]) > 0 {
			days = append(days, e)
		}
	}
	return days
}

// closure says why the site is shut on a day of its week, empty when it is not.
func closure(job *scheduler.Job, d worktime.Date) string {
	for _, c := range job.Closures {
		if c.From <= d && d <= c.To && len(job.Week[d.Weekday()]) > 0 {
			return cmp.Or(c.Why, "closed")
		}
	}
	return ""
}

func (b *board) visitsOn(d worktime.Date) []visitEntry {
	var all []visitEntry
	for _, v := range b.Plan.Windows {
		first, last := b.civil(v.From), b.civilEnd(v.Until)
		if d < first || d > last || !b.worksOn(v.Trade, d) {
			continue
		}
		doing := b.doingOn(v, d)
		if len(doing) == 0 {
			continue
		}
		e := visitEntry{Swatch: b.swatchOf(v.Trade), Trade: b.trade(v.Trade), Where: b.place(v.Place), Doing: together(doing)}
		switch {
		case first == d && last == d:
			e.Word = "for the day"
		case first == d:
			e.Word = "comes"
		case last == d:
			e.Word = "last day"
		}
		all = append(all, e)
	}
	slices.SortStableFunc(all, func(x, y visitEntry) int { return cmp.Compare(x.Trade.Text, y.Trade.Text) })
	return all
}

// worksOn says whether a trade comes to the site on a day at all.
func (b *board) worksOn(trade scheduler.ID, d worktime.Date) bool {
	week := b.Job.Week
	t := b.trades[trade]
	if t != nil && t.Week != nil {
		week = *t.Week
	}
	if len(week[d.Weekday()]) == 0 || closure(b.Job, d) != "" {
		return false
	}
	return t == nil || !slices.ContainsFunc(t.Off, func(c scheduler.Closure) bool { return c.From <= d && d <= c.To })
}

// doingOn is the steps of a visit that run on a day.
func (b *board) doingOn(v scheduler.Window, d worktime.Date) []Line {
	var lines []Line
	for _, id := range v.Steps {
		s := b.steps[id]
		if s != nil && b.civil(s.Start) <= d && d <= max(b.civil(s.Start), b.civilEnd(s.Finish)) {
			lines = append(lines, say(b.step(id)))
		}
	}
	return lines
}

// callersOn is the people who come for a hold point that needs looking at.
func (b *board) callersOn(d worktime.Date) []Line {
	var lines []Line
	for k := range b.Plan.Holds {
		h := &b.Plan.Holds[k]
		switch h.Kind {
		case scheduler.Delivery, scheduler.Decision, scheduler.Approval:
			continue
		}
		if h.State == scheduler.Complete || b.civil(h.Planned) != d || h.By == "" {
			continue
		}
		word := "not booked yet"
		if h.Booked != nil {
			word = "booked for " + h.Booked.In(b.zone).Format("15:04")
		}
		lines = append(lines, say(b.who(h.By)+" for ", b.stepAt(h.ID), ", "+word))
	}
	return lines
}

// arrivals says what is delivered in the week, where it goes and who receives it.
func (b *board) arrivals(w week) []Line {
	var lines []Line
	for k := range b.Job.Orders {
		o := &b.Job.Orders[k]
		id := o.DeliveryStep()
		s := b.steps[id]
		if s == nil || !w.hasTime(s.Start) {
			continue
		}
		l := say(b.startOf(s), ": ", heavy(o.Title), " ("+b.arrivalWord(id)+")")
		if o.Receives != "" {
			l = say(l, ", received by ", b.trade(o.Receives))
		} else {
			l = say(l, ", nobody named to receive it")
		}
		if len(o.Places) > 0 {
			l = say(l, ", brought to "+b.placeNames(o.Places))
		}
		for _, g := range o.Gear {
			if gear := b.gear[g]; gear != nil {
				l = say(l, ", with the "+gear.Title)
			}
		}
		lines = append(lines, say(l, ". ", Part{Text: "Open", Href: b.link("/steps/" + string(id))}))
	}
	return lines
}

// unloading is what is said of the site to who receives things there.
func (b *board) unloading() []Line {
	var lines []Line
	for _, w := range siteWords(&scheduler.Site{Unloading: b.Job.Site.Unloading, Storage: b.Job.Site.Storage, Lifting: b.Job.Site.Lifting}) {
		lines = append(lines, w.sentence())
	}
	return lines
}

func (b *board) arrivalWord(id scheduler.ID) string {
	f := b.facts[id]
	switch {
	case f != nil && f.Released != nil:
		return "delivered"
	case f != nil && f.Expected != nil:
		return "expected"
	default:
		return "planned"
	}
}

// coverEntry is a layer that is covered in the week, and whether it has been seen.
type coverEntry struct {
	Says Line
	Seen Line
	Good bool
}

func (b *board) covers(w week) []coverEntry {
	var all []coverEntry
	for k := range b.Plan.Covers {
		c := &b.Plan.Covers[k]
		by := b.steps[c.CoveredBy]
		if by == nil || by.State == scheduler.Complete || !w.has(by.Start, by.Finish) {
			continue
		}
		e := coverEntry{Says: say(heavy(c.Title), ", "+b.place(c.Place)+": covered by ", b.step(c.CoveredBy), ", ", b.fromTo(by), ".")}
		e.Seen, e.Good = b.seen(c)
		all = append(all, e)
	}
	return all
}

// seen says whether a layer has been looked at before it is covered.
func (b *board) seen(c *scheduler.PlannedCover) (Line, bool) {
	var due []Line
	for _, id := range c.Unseen {
		l := say(b.step(id))
		if h := b.holds[id]; h != nil {
			l = say(l, " (", b.holdStatus(h), ")")
		}
		due = append(due, l)
	}
	if len(due) > 0 {
		return say("Not seen yet: ", together(due), "."), false
	}
	if b.mustBeSeen(c) {
		return say("It has been seen and released."), true
	}
	return say("Nobody is named to look at it first."), true
}

func (b *board) mustBeSeen(c *scheduler.PlannedCover) bool {
	for k := range b.Network.Covers {
		n := &b.Network.Covers[k]
		if n.BuildUp == c.BuildUp && n.Place == c.Place && n.Layer == c.Layer {
			return len(n.Seen) > 0
		}
	}
	return false
}

// within says whether a day lies no later than the week's end and some days more.
func (w week) within(t time.Time, days int) bool { return t.Before(w.to.AddDate(0, 0, days)) }
