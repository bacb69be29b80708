package verify

import (
	"cmp"
	"sort"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// calendarOf is when a step can be worked on: when the site, each of its trades,
// each of its places and all places around them are at work.
func (c *checker) calendarOf(s *step) *calendar {
	if s.elapsed() {
		return c.cals.real
	}
	parts := map[string]hours{}
	trades := s.Trades
	if s.stageBy != "" {
		trades = []scheduler.ID{s.stageBy}
	}
	for _, id := range trades {
		if t := c.tradeOf(id); t != nil {
			parts["trade "+string(id)] = c.hours(t.Week, t.Off)
		}
	}
	for _, id := range s.Places {
		for _, around := range c.chain(id) {
			p := c.places[around]
			parts["place "+string(around)] = c.hours(p.Week, p.Closures)
		}
	}
	all := []hours{{c.job.Week, c.job.Closures}}
	keys := make([]string, 0, len(parts))
	for key := range parts {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	for _, key := range keys {
		all = append(all, parts[key])
	}
	return c.overlap(strings.Join(keys, ","), all)
}

func (c *checker) hours(own *worktime.Week, off []scheduler.Closure) hours {
	if own != nil {
		return hours{*own, off}
	}
	return hours{c.job.Week, off}
}

// chain is a place and all places around it.
func (c *checker) chain(place scheduler.ID) []scheduler.ID {
	var out []scheduler.ID
	for p := c.places[place]; p != nil && len(out) <= len(c.job.Places); p = c.places[p.Within] {
		out = append(out, p.ID)
	}
	return out
}

// layOut prepares places and the calendars, which reach over all days that the job
// and the plan speak of and three years beyond, in which a step may still be held back.
func (c *checker) layOut() {
	c.places = map[scheduler.ID]*scheduler.Place{}
	for k := range c.job.Places {
		c.places[c.job.Places[k].ID] = &c.job.Places[k]
	}
	from, to := c.job.Start, c.job.Start
	see := func(d worktime.Date) { from, to = min(from, d), max(to, d) }
	for _, f := range c.job.Facts {
		for _, w := range []*worktime.When{f.Started, f.Done, f.Booked, f.Expected, f.Released, f.Refused} {
			if w != nil {
				see(w.Day)
			}
		}
	}
	for _, d := range c.job.Dues {
		see(d.On)
	}
	see(c.day(c.asOf))
	for k := range c.plan.Steps {
		p := &c.plan.Steps[k]
		for _, t := range []time.Time{p.EarliestStart, p.LatestStart, p.LatestFinish, p.Start, p.Finish, p.PlanLatest} {
			if y := t.Year(); y > 1900 && y < 2200 {
				see(c.day(minuteOf(t)))
			}
		}
	}
	c.cals = calendars{from: from - 3*366, to: to + 3*366, made: map[string]*calendar{}, real: &calendar{real: true}}
	c.cals.site = c.overlap("", []hours{{c.job.Week, c.job.Closures}})
}

// minutes is the length of a span: working minutes, or real ones for elapsed spans.
func (c *checker) minutes(s worktime.Span) minute {
	day, days := minute(0), minute(0)
	for _, periods := range c.job.Week {
		sum := minute(0)
		for _, p := range periods {
			sum += minute(p.To - p.From)
		}
		day = max(day, sum)
		if sum > 0 {
			days++
		}
	}
	switch c.job.Day.Unit {
	case worktime.Hours:
		day = cmp.Or(60*minute(c.job.Day.Amount), day)
	case worktime.Minutes:
		day = cmp.Or(minute(c.job.Day.Amount), day)
	}
	of := [...]minute{
		worktime.Minutes: 1, worktime.Hours: 60, worktime.Days: day, worktime.Weeks: day * days,
		worktime.ElapsedMinutes: 1, worktime.ElapsedHours: 60, worktime.ElapsedDays: 24 * 60, worktime.ElapsedWeeks: 7 * 24 * 60,
	}
	return minute(s.Amount) * of[s.Unit]
}
