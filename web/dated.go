package web

import (
	"time"

	"gaugerod/scheduler"
)

// Where on the page of a step its days on other pages lead to.
const (
	heldThere = "#why"   // what holds it on its days, back to the as-of day
	slipsTo   = "#dates" // how far it can slip, and who moves then
	itsWaits  = "#waits" // what comes after what, and how soon or late
)

// given says what a day is that was not worked out: behind it there is no chain.
type given string

const (
	asOfDay     given = "as-of"   // the plan counts all up to it as recorded
	spanDay     given = "span"    // the first or last of the days that a page shows
	statedDay   given = "stated"  // a person wrote it into the job
	dueDay      given = "due"     // somebody wants something by then
	promisedDay given = "promise" // agreed with a trade, or said by it
	recordedDay given = "record"  // something was done in Gaugerod then
	formerDay   given = "was"     // the plan before had it so; the chain that is kept is today's
	likelyDay   given = "odds"    // by then it was so in so many tries of the plan
	triedDay    given = "trial"   // of a plan that is only looked at and not kept
)

// is says what a day is behind which there is no chain.
func (p Part) is(g given) Part {
	p.Given, p.Href = g, ""
	return p
}

// is says it of all days of a line.
func (l Line) is(g given) Line {
	for k := range l {
		if l[k].Day != "" {
			l[k] = l[k].is(g)
		}
	}
	return l
}

// strong has a line carry weight.
func (l Line) strong() Line {
	for k := range l {
		l[k].Heavy = true
	}
	return l
}

// capital makes the first letter of a line a capital.
func (l Line) capital() Line {
	if len(l) > 0 {
		l[0].Text = upper(l[0].Text)
	}
	return l
}

// to has a day lead to the page of its step.
func (b *board) to(day Part, step scheduler.ID, where string) Part {
	switch {
	case b.unkept:
		return day.is(triedDay)
	case b.steps[step] == nil:
	case b.nearby:
		day.Href = b.near(step) + where
	default:
		day.Href = b.link("/steps/"+string(step)) + where
	}
	return day
}

// startOf is the day on which a step starts, or started.
func (b *board) startOf(s *scheduler.PlannedStep) Part { return b.to(b.on(s.Start), s.ID, heldThere) }

// endOf is the day on which a step is done.
func (b *board) endOf(s *scheduler.PlannedStep) Part { return b.to(b.onEnd(s.Finish), s.ID, heldThere) }

// finish is the day on which the work ends.
func (b *board) finish() Part { return b.to(b.onEnd(b.Plan.Finish), b.lastStep(), heldThere) }

// lastStep is the step with which the work ends.
func (b *board) lastStep() scheduler.ID {
	if n := len(b.Plan.Driving); n > 0 {
		return b.Plan.Driving[n-1]
	}
	for k := range b.Plan.Steps {
		if b.Plan.Steps[k].Finish.Equal(b.Plan.Finish) {
			return b.Plan.Steps[k].ID
		}
	}
	return ""
}

// firstAndLast is which of some steps begins first and which is done last.
func (b *board) firstAndLast(ids []scheduler.ID) (first, last scheduler.ID) {
	for _, id := range ids {
		s := b.steps[id]
		if s == nil {
			continue
		}
		if first == "" || s.Start.Before(b.steps[first].Start) {
			first = id
		}
		if last == "" || s.Finish.After(b.steps[last].Finish) {
			last = id
		}
	}
	return first, last
}

// stayOf is the days of a run of steps, from one time to another: "Thu 21 May to Fri 22
// May", or the one day.
func (b *board) stayOf(from, until time.Time, steps []scheduler.ID) Line {
	first, last := b.firstAndLast(steps)
	return b.between(from, until, first, last)
}

// between is the days from the start of one step to the end of another.
func (b *board) between(from, until time.Time, first, last scheduler.ID) Line {
	start := b.to(b.on(from), first, heldThere)
	if b.withinADay(from, until) {
		return say(start)
	}
	return say(start, " to ", b.to(b.onEnd(until), last, heldThere))
}

// withinADay says whether a run of time lies within a civil day.
func (b *board) withinADay(from, until time.Time) bool {
	return b.civil(from) == b.civilEnd(until) || !until.After(from)
}

// plannedFor is the planned days of something, as part of a sentence.
func (b *board) plannedFor(days Line) Line {
	if len(days) == 1 {
		return say("planned for ", days)
	}
	return say("planned from ", days)
}

// fromTo is the planned days of a step, as part of a sentence.
func (b *board) fromTo(s *scheduler.PlannedStep) Line {
	return b.plannedFor(b.daysOf(s))
}

// daysOf is the days of a step, without more words.
func (b *board) daysOf(s *scheduler.PlannedStep) Line {
	return b.between(s.Start, s.Finish, s.ID, s.ID)
}
