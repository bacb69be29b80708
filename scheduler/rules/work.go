package rules

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// checkWork checks what tasks and holds have in common. The places are those the
// work is in: its own, or of the typical it is repeated by.
func (c *checker) checkWork(s subject, w *scheduler.Work, places []scheduler.ID) {
	c.knownEach(s, "trades", w.Trades, &c.trades)
	c.knownEach(s, "places", w.Places, &c.places)
	c.knownEach(s, "gear", w.Gear, &c.gear)
	c.span(s, "takes", w.Takes)
	c.checkCrews(s, w)
	c.checkWeather(s, w.Weather)
	c.checkCautions(s, w.Cautions)
	if w.Alone && len(places) == 0 {
		c.fault(s, "alone", "", "wants its place to itself and has no place", "name the place, or leave alone out")
	}
	c.checkEverWorks(s, w, places)
}

// checkCrews checks that no trade is asked for more crews than it can send.
func (c *checker) checkCrews(s subject, w *scheduler.Work) {
	if w.Crews == 0 && len(w.Trades) == 0 {
		return // nobody to count
	}
	c.atLeastOne(s, "crews", w.Crews)
	for _, id := range w.Trades {
		k, ok := c.trades.at[id]
		if !ok {
			continue
		}
		if has := c.job.Trades[k].Crews; w.Crews > has && has > 0 {
			c.fault(s, "crews", fmt.Sprint(w.Crews), fmt.Sprintf("takes %d crews of trade %q, which can send %d", w.Crews, id, has),
				"take fewer, or let the trade send more")
		}
	}
}

// checkSpread checks that what work takes lies between its best and its worst, where it is
// known how long all of them are.
func (c *checker) checkSpread(s subject, takes worktime.Span, spread scheduler.Spread) {
	if spread.None() || takes.Zero() || !c.siteSound || tooLong(takes) {
		return
	}
	usual := c.job.Minutes(takes)
	side := func(field, word string, span worktime.Span, wrong func(minutes int64) bool) {
		switch {
		case span.Zero() || !c.span(s, field, span):
		case span.Elapsed() != takes.Elapsed():
			c.fault(s, field, span.String(), fmt.Sprintf("takes %s and %s %s, which are of different kinds of time", takes, word, span), "write both in working time or both elapsed")
		case wrong(c.job.Minutes(span)):
			c.fault(s, field, span.String(), fmt.Sprintf("takes %s and %s %s", takes, word, span), "let what it usually takes lie between the two, or leave it out")
		}
	}
	side("at-best", "at best", spread.Best, func(minutes int64) bool { return minutes > usual })
	side("at-worst", "at worst", spread.Worst, func(minutes int64) bool { return minutes < usual })
}

func (c *checker) checkWeather(s subject, w *scheduler.Weather) {
	if w == nil {
		return
	}
	if *w == (scheduler.Weather{}) {
		c.fault(s, "weather", "", "has weather that says nothing", "write dry, wind-below or min-temperature, or leave weather out")
	}
	if v := w.WindBelow; v != nil && (*v < 1 || *v > 50) {
		c.fault(s, "weather", fmt.Sprint(*v), fmt.Sprintf("needs wind below %d m/s", *v), "write metres per second from 1 to 50")
	}
	if v := w.MinTemperature; v != nil && (*v < -60 || *v > 60) {
		c.fault(s, "weather", fmt.Sprint(*v), fmt.Sprintf("needs at least %d degrees Celsius", *v), "write degrees from -60 to 60")
	}
}

func (c *checker) checkCautions(s subject, cautions []scheduler.Caution) {
	seen := map[scheduler.Caution]bool{}
	for _, caution := range cautions {
		if seen[caution] {
			c.fault(s, "cautions", string(caution), fmt.Sprintf("has the caution %q twice", caution), "name it once")
			continue
		}
		seen[caution] = true
		choice(c, s, "cautions", "caution", caution, scheduler.Cautions)
	}
}

// checkEverWorks finds work whose trades and places never work at the same time
// of the week as the site, so that no day could ever be found for it.
func (c *checker) checkEverWorks(s subject, w *scheduler.Work, places []scheduler.ID) {
	week := c.job.Week
	if w.Takes.Elapsed() || week.WorkingDays() == 0 {
		return // runs in real time; or said of the site itself
	}
	for _, id := range w.Trades {
		if k, ok := c.trades.at[id]; ok {
			week = c.narrow(s, "trades", "trade", id, week, c.job.Trades[k].Week)
		}
	}
	for _, id := range places {
		for range maxNesting { // up the tree, with an end even where it has a loop
			k, ok := c.places.at[id]
			if !ok {
				break
			}
			week = c.narrow(s, "places", "place", id, week, c.job.Places[k].Week)
			id = c.job.Places[k].Within
		}
	}
}

// narrow is what is left of a week when a trade or a place works only in its own.
func (c *checker) narrow(s subject, field, what string, id scheduler.ID, week worktime.Week, own *worktime.Week) worktime.Week {
	if own == nil || own.WorkingDays() == 0 || week.WorkingDays() == 0 {
		return week
	}
	left := overlap(week, *own)
	if left.WorkingDays() == 0 {
		c.fault(s, field, string(id), fmt.Sprintf("can never be worked on: the week of %s %q has no time in common with the site's and the others'", what, id),
			"let their weeks overlap")
	}
	return left
}

// overlap is the periods that two weeks have in common.
func overlap(a, b worktime.Week) worktime.Week {
	var both worktime.Week
	for day := range a {
		for _, p := range a[day] {
			for _, q := range b[day] {
				if from, to := max(p.From, q.From), min(p.To, q.To); from < to {
					both[day] = append(both[day], worktime.Period{From: from, To: to})
				}
			}
		}
	}
	return both
}
