package network

import (
	"slices"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// calendars makes the calendar of each combination of trades and places once, and of
// combinations that work at the same times one for all.
type calendars struct {
	job     *scheduler.Job
	almanac *worktime.Almanac
	all     []*worktime.Calendar
	keys    []string // by calendar: which times it works, the same in every graph
	site    hours
	trades  map[scheduler.ID]*own
	places  map[scheduler.ID]*own
	within  map[scheduler.ID]*scheduler.Place
	named   map[string]int32 // by the names of what takes part
	made    map[string]int32 // by key
}

func newCalendars(job *scheduler.Job, zone *time.Location, asOf worktime.Date, days int) *calendars {
	from, to := daysOf(job, asOf)
	const before = 120 // days at least
	c := &calendars{
		job:     job,
		almanac: worktime.NewAlmanac(zone, from-worktime.Date(max(days/4, before)), to+worktime.Date(days)),
		all:     []*worktime.Calendar{RealTime: worktime.Continuous()},
		keys:    []string{RealTime: "real time"},
		site:    hoursOf(&job.Week, job.Closures),
		trades:  map[scheduler.ID]*own{},
		places:  map[scheduler.ID]*own{},
		within:  map[scheduler.ID]*scheduler.Place{},
		named:   map[string]int32{},
		made:    map[string]int32{},
	}
	c.make(&c.site) // the first one made is Site
	for k := range job.Trades {
		t := &job.Trades[k]
		if t.Week != nil || len(t.Off) > 0 {
			c.trades[t.ID] = c.own("trade "+string(t.ID), t.Week, t.Off)
		}
	}
	for k := range job.Places {
		p := &job.Places[k]
		c.within[p.ID] = p
		if p.Week != nil || len(p.Closures) > 0 {
			c.places[p.ID] = c.own("place "+string(p.ID), p.Week, p.Closures)
		}
	}
	return c
}

// own is the hours of a trade or a place, with its name among all of them.
type own struct {
	name  string
	hours hours
}

// own is the hours of a week of one's own, or else the site's, less days off.
func (c *calendars) own(name string, week *worktime.Week, off []scheduler.Closure) *own {
	if week == nil {
		week = &c.job.Week
	}
	return &own{name, hoursOf(week, off)}
}

// of is the index of a step's calendar: the overlap of the site's, its trades' and
// its places', with those around them.
func (c *calendars) of(s *scheduler.Step) int32 {
	var room [8]*own
	parts := room[:0]
	for _, t := range s.Trades {
		if o := c.trades[t]; o != nil {
			parts = append(parts, o)
		}
	}
	if o := c.trades[s.By]; o != nil && s.Kind == scheduler.StageStep {
		parts = append(parts, o)
	}
	for _, id := range s.Places {
		for p := c.within[id]; p != nil; p = c.within[p.Within] {
			if o := c.places[p.ID]; o != nil {
				parts = append(parts, o)
			}
		}
	}
	if len(parts) == 0 {
		return Site
	}
	return c.overlap(parts)
}

// overlap is the index of the calendar on which the site and all these work.
func (c *calendars) overlap(parts []*own) int32 {
	slices.SortFunc(parts, func(a, b *own) int { return strings.Compare(a.name, b.name) })
	parts = slices.Compact(parts)
	var room [120]byte
	name := append(room[:0], parts[0].name...)
	for _, o := range parts[1:] {
		name = append(append(name, ','), o.name...)
	}
	k, ok := c.named[string(name)]
	if !ok {
		h := c.site
		for _, o := range parts {
			h = h.and(&o.hours)
		}
		k = c.make(&h)
		c.named[string(name)] = k
	}
	return k
}

// make is the index of the calendar of these hours.
func (c *calendars) make(h *hours) int32 {
	key := c.almanac.Zone().String() + h.key()
	k, ok := c.made[key]
	if !ok {
		k = int32(len(c.all))
		c.made[key] = k
		c.all, c.keys = append(c.all, c.almanac.Calendar(h.week, h.off)), append(c.keys, key)
	}
	return k
}

// daysOf is the first and the last day that people wrote into the job, as of included.
func daysOf(job *scheduler.Job, asOf worktime.Date) (first, last worktime.Date) {
	first, last = min(job.Start, asOf), max(job.Start, asOf)
	see := func(d worktime.Date) { first, last = min(first, d), max(last, d) }
	for _, d := range job.Dues {
		see(d.On)
	}
	for _, p := range job.Pins {
		if p.On != nil {
			see(*p.On)
		}
		if p.NotBefore != nil {
			see(*p.NotBefore)
		}
	}
	for _, f := range job.Facts {
		for _, w := range []*worktime.When{f.Started, f.Done, f.Booked, f.Expected, f.Released, f.Refused} {
			if w != nil {
				see(w.Day)
			}
		}
	}
	return first, last
}
