package web

import (
	"slices"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// promised is a window as it was promised, and what the plan makes of it now.
type promised struct {
	*scheduler.Promise
	now   scheduler.Standing
	moved bool
}

// promises is all that was promised, in the order of the promised days.
func (b *board) promises() []promised {
	return b.Beside.Once(promisedKey{}, func() any {
		find := func(id scheduler.ID) *scheduler.PlannedStep { return b.steps[id] }
		all := make([]promised, len(b.Job.Promises))
		for k := range b.Job.Promises {
			p := &b.Job.Promises[k]
			now := scheduler.StandingOf(find, p.Trade, p.Place, p.Steps)
			all[k] = promised{p, now, now.Moved(p.From, p.Until)}
		}
		slices.SortStableFunc(all, func(x, y promised) int { return int(x.From - y.From) })
		return all
	}).([]promised)
}

// promisedKey is under what promises are kept beside a sheet.
type promisedKey struct{}

// says tells a promise against the plan: "promised Mon 3 Aug, now Thu 6 Aug".
func (b *board) says(p promised) Line {
	was := b.stretchOf(p.From, p.Until).is(promisedDay)
	first, last := b.firstAndLast(p.Steps)
	switch {
	case p.now.Gone:
		return say("promised ", was, ", no longer planned")
	case p.now.Over && !p.moved:
		return say("promised ", was, ", done by ", b.to(b.onDate(p.now.Until), last, heldThere))
	case !p.moved:
		return say("promised ", was, ", and it stands")
	case p.now.Begun:
		return say("promised until ", b.onDate(p.Until).is(promisedDay), ", now until ", say(b.to(b.onDate(p.now.Until), last, heldThere)).strong())
	case p.From == p.Until && p.now.From == p.now.Until, p.now.Until-p.now.From == p.Until-p.From:
		return say("promised ", b.onDate(p.From).is(promisedDay), ", now ", say(b.to(b.onDate(p.now.From), first, heldThere)).strong())
	}
	return say("promised ", was, ", now ", b.stretchOver(p.now.From, p.now.Until, p.Steps).strong())
}

// agreedOn is a promise as it is drawn under its visit.
func (b *board) agreedOn(p promised) draw.Agreed {
	words := b.shortOr(p.Trade) + " promised here"
	if p.now.Gone {
		words += ", no longer planned"
	} else if p.moved {
		words += ", now " + b.date(p.now.From)
	}
	return draw.Agreed{From: b.morning(p.From), Until: b.evening(p.Until), Words: words}
}

// shortOr is a trade's letters, or its name where it has none.
func (b *board) shortOr(trade scheduler.ID) string {
	if s := b.short(trade); s != "" {
		return s
	}
	return b.who(trade)
}

// morning and evening are when work begins and ends on a day, or where it lies if nobody
// works then.
func (b *board) morning(d worktime.Date) time.Time {
	if h := b.hours(d); h.Works {
		return h.Open
	}
	return b.hours(d).Begins
}

func (b *board) evening(d worktime.Date) time.Time {
	if h := b.hours(d); h.Works {
		return h.Shut
	}
	return b.hours(d).Begins
}

// againstPromise is how the plan stands to what was promised: in words, then one line
// for each window that has moved, the first promised day first.
type againstPromise struct {
	Says  Line
	Moved []Line
	More  int
}

// mostMoved is how many moved windows a picture lists; the page of issues has all.
const mostMoved = 16

func (b *board) againstPromise() againstPromise {
	all := b.promises()
	if len(all) == 0 {
		return againstPromise{Says: say("Nothing has been promised yet: no plan has been ", Part{Text: "issued", Href: b.link("/issued")}, ".")}
	}
	var pg againstPromise
	moved := 0
	for _, p := range all {
		if !p.moved {
			continue
		}
		if moved++; moved > mostMoved {
			pg.More++
			continue
		}
		pg.Moved = append(pg.Moved, say(b.trade(p.Trade), ", "+b.place(p.Place)+": ", b.says(p), "."))
	}
	since := "they were promised"
	if last := b.Job.LastIssue(); last != nil {
		since = "issue " + last.Letter
	}
	if moved == 0 {
		pg.Says = say(upper(number(len(all), "window")) + " promised, and none has moved since " + since + ".")
	} else {
		pg.Says = say(upper(number(len(all), "window"))+" promised; ", heavy(number(moved, "window")), " moved since "+since+".")
	}
	return pg
}

// movedOf is what was promised to a trade and has moved; one line where nothing has, none
// where nothing was promised.
func (b *board) movedOf(trade scheduler.ID) []Line {
	var lines []Line
	n := 0
	for _, p := range b.promises() {
		if p.Trade != trade {
			continue
		}
		if n++; p.moved {
			lines = append(lines, say(b.place(p.Place)+": ", b.says(p), "."))
		}
	}
	if n > 0 && lines == nil {
		lines = []Line{say("Nothing: " + number(n, "window") + " promised, and all as they were.")}
	}
	return lines
}

// addAgreed puts what was promised at a place under the visits that hold its steps, and
// where these are gone, on their own. visit says by step where in c.Visits it is.
// What is brief says less: the list above the picture has all of it.
func (b *board) addAgreed(c *draw.Course, at []promised, visit map[scheduler.ID]int, brief bool) {
	for _, p := range at {
		a := b.agreedOn(p)
		if brief {
			a.Words = b.short(p.Trade)
		}
		k := -1
		for _, id := range p.Steps {
			if n, ok := visit[id]; ok && len(c.Visits[n].Blocks) > 0 {
				k = n
				break
			}
		}
		if k < 0 {
			c.Visits = append(c.Visits, draw.Visit{Agreed: []draw.Agreed{a}})
			continue
		}
		c.Visits[k].Agreed = append(c.Visits[k].Agreed, a)
	}
}

// movedKey is under what promises that have moved are kept beside a sheet, by step.
type movedKey struct{}

// movedFor is the promises that hold a step and have moved.
func (b *board) movedFor(step scheduler.ID) []promised {
	return b.Beside.Once(movedKey{}, func() any {
		all := map[scheduler.ID][]promised{}
		for _, p := range b.promises() {
			if !p.moved {
				continue
			}
			for _, id := range p.Steps {
				all[id] = append(all[id], p)
			}
		}
		return all
	}).(map[scheduler.ID][]promised)[step]
}
