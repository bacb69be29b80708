package verify

import (
	"sort"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// minute is a moment in minutes since 1970-01-01 00:00 UTC.
type minute int64

func minuteOf(t time.Time) minute { return minute(t.Unix() / 60) }

// in writes a moment for people.
func (m minute) in(zone *time.Location) string {
	return time.Unix(int64(m)*60, 0).In(zone).Format("2006-01-02 15:04")
}

// calendar is the moments at which somebody works, as stretches from open until
// shut in order. real is real time, in which every minute counts.
type calendar struct {
	real       bool
	open, shut []minute
	sum        []minute // minutes in all stretches before this one
}

// upTo is the working minutes before t.
func (c *calendar) upTo(t minute) minute {
	if c.real {
		return t
	}
	k := sort.Search(len(c.open), func(k int) bool { return c.open[k] >= t }) - 1
	if k < 0 {
		return 0
	}
	return c.sum[k] + min(t, c.shut[k]) - c.open[k]
}

// between is the working minutes from one moment to another, negative if that is earlier.
func (c *calendar) between(from, to minute) minute { return c.upTo(to) - c.upTo(from) }

// works says whether a minute's work can begin at t.
func (c *calendar) works(t minute) bool { return c.between(t, t+1) == 1 }

// stands says whether something without length can be at t: in a stretch or at its end.
func (c *calendar) stands(t minute) bool { return c.works(t) || c.between(t-1, t) == 1 }

// never is later than all that is looked at.
const never minute = 1 << 50

// next is the least moment from t on at which a step of the given length can start.
func (c *calendar) next(t, length minute) minute {
	if c.real || c.works(t) || (length == 0 && c.stands(t)) {
		return t
	}
	k := sort.Search(len(c.open), func(k int) bool { return c.open[k] >= t })
	if k == len(c.open) {
		return never
	}
	return c.open[k]
}

// last is the greatest moment up to t at which a step of the given length can
// start, -never where there is none.
func (c *calendar) last(t, length minute) minute {
	if c.real || c.works(t) || (length == 0 && c.stands(t)) {
		return t
	}
	k := sort.Search(len(c.shut), func(k int) bool { return c.shut[k] > t }) - 1
	switch {
	case k < 0:
		return -never
	case length == 0:
		return c.shut[k]
	}
	return c.shut[k] - 1
}

// reach is the least moment before which so much has been worked.
func (c *calendar) reach(amount minute) minute {
	if c.real {
		return amount
	}
	if amount <= 0 {
		return -never
	}
	k := sort.Search(len(c.open), func(k int) bool { return amount <= c.sum[k]+c.shut[k]-c.open[k] })
	if k == len(c.open) {
		return never
	}
	return c.open[k] + amount - c.sum[k]
}

// still is the greatest moment before which no more than so much has been worked.
func (c *calendar) still(amount minute) minute {
	if c.real {
		return amount
	}
	if amount < 0 {
		return -never
	}
	k := sort.Search(len(c.open), func(k int) bool { return amount < c.sum[k]+c.shut[k]-c.open[k] })
	if k == len(c.open) {
		return never
	}
	return c.open[k] + amount - c.sum[k]
}

// calendars lays working time out over the days that a plan speaks of.
type calendars struct {
	from, to worktime.Date
	made     map[string]*calendar
	site     *calendar
	real     *calendar
}

// hours is one party's week and days off.
type hours struct {
	week worktime.Week
	off  []scheduler.Closure
}

// overlap lays out the time at which all work.
func (c *checker) overlap(key string, all []hours) *calendar {
	if cal, ok := c.cals.made[key]; ok {
		return cal
	}
	cal := &calendar{}
	var total minute
	for d := c.cals.from; d <= c.cals.to; d++ {
		for _, p := range common(d, all) {
			open, shut := c.clock(d, p.From), c.clock(d, p.To)
			if open >= shut {
				continue
			}
			if n := len(cal.shut); n > 0 && cal.shut[n-1] == open {
				cal.shut[n-1] = shut
			} else {
				cal.open, cal.shut, cal.sum = append(cal.open, open), append(cal.shut, shut), append(cal.sum, total)
			}
			total += shut - open
		}
	}
	c.cals.made[key] = cal
	return cal
}

// common is the periods of a day that all share.
func common(d worktime.Date, all []hours) []worktime.Period {
	periods := []worktime.Period{{From: 0, To: 24 * 60}}
	for _, h := range all {
		for _, off := range h.off {
			if off.From <= d && d <= off.To {
				return nil
			}
		}
		var both []worktime.Period
		for _, p := range periods {
			for _, q := range h.week[d.Weekday()] {
				if r := (worktime.Period{From: max(p.From, q.From), To: min(p.To, q.To)}); r.From < r.To {
					both = append(both, r)
				}
			}
		}
		periods = both
	}
	return periods
}

// clock is the first moment of a day at which clocks have come to a time. Where
// the offset from Greenwich is the same on both sides of the day it is plain
// arithmetic; near a clock change the minutes are gone through one by one.
func (c *checker) clock(d worktime.Date, at worktime.Clock) minute {
	wall := minute(d)*24*60 + minute(at)
	before, after := c.offset(wall-36*60), c.offset(wall+36*60)
	if before == after {
		return wall - before
	}
	for t := wall - max(before, after); ; t++ {
		if t+c.offset(t) >= wall {
			return t
		}
	}
}

// offset is how far clocks are ahead of Greenwich at a moment, in minutes.
func (c *checker) offset(t minute) minute {
	_, seconds := time.Unix(int64(t)*60, 0).In(c.zone).Zone()
	return minute(seconds / 60)
}

// day is the civil day of a moment.
func (c *checker) day(t minute) worktime.Date {
	local := t + c.offset(t)
	d := local / (24 * 60)
	if local < 0 && local%(24*60) != 0 {
		d--
	}
	return worktime.Date(d)
}
