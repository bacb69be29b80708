package network

import (
	"sort"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// calendars makes the calendar of each combination of trades and places once.
type calendars struct {
	job     *scheduler.Job
	almanac *worktime.Almanac
	all     []*worktime.Calendar
	trades  map[scheduler.ID]*worktime.Calendar
	places  map[scheduler.ID]*worktime.Calendar
	within  map[scheduler.ID]*scheduler.Place
	made    map[string]int32
}

func newCalendars(job *scheduler.Job, zone *time.Location, asOf worktime.Date, years int) *calendars {
	from, to := daysOf(job, asOf)
	const year = 366
	c := &calendars{
		job:     job,
		almanac: worktime.NewAlmanac(zone, from-worktime.Date(years*year/4), to+worktime.Date(years*year)),
		trades:  map[scheduler.ID]*worktime.Calendar{},
		places:  map[scheduler.ID]*worktime.Calendar{},
		within:  map[scheduler.ID]*scheduler.Place{},
		made:    map[string]int32{},
	}
	site := c.almanac.Calendar(job.Week, closed(job.Closures))
	c.all = []*worktime.Calendar{RealTime: worktime.Continuous(), Site: site}
	c.made[""] = Site
	for k := range job.Trades {
		t := &job.Trades[k]
		if t.Week != nil || len(t.Off) > 0 {
			c.trades[t.ID] = c.own(t.Week, t.Off)
		}
	}
	for k := range job.Places {
		p := &job.Places[k]
		c.within[p.ID] = p
		if p.Week != nil || len(p.Closures) > 0 {
			c.places[p.ID] = c.own(p.Week, p.Closures)
		}
	}
	return c
}

// own is the calendar of a week of one's own, or else the site's, less days off.
func (c *calendars) own(week *worktime.Week, off []scheduler.Closure) *worktime.Calendar {
	if week == nil {
		week = &c.job.Week
	}
	return c.almanac.Calendar(*week, closed(off))
}

// of is the index of a step's calendar: the overlap of the site's, its trades' and
// its places', with those around them.
func (c *calendars) of(s *scheduler.Step) int32 {
	var parts []string
	for _, t := range s.Trades {
		if c.trades[t] != nil {
			parts = append(parts, "trade "+string(t))
		}
	}
	if t := s.By; s.Kind == scheduler.StageStep && c.trades[t] != nil {
		parts = append(parts, "trade "+string(t))
	}
	for _, id := range s.Places {
		for p := c.within[id]; p != nil; p = c.within[p.Within] {
			if c.places[p.ID] != nil {
				parts = append(parts, "place "+string(p.ID))
			}
		}
	}
	if len(parts) == 0 {
		return Site
	}
	sort.Strings(parts)
	key := strings.Join(parts, ",")
	if k, ok := c.made[key]; ok {
		return k
	}
	cal := c.all[Site]
	for _, part := range parts {
		kind, id, _ := strings.Cut(part, " ")
		if kind == "trade" {
			cal = worktime.Overlap(cal, c.trades[scheduler.ID(id)])
		} else {
			cal = worktime.Overlap(cal, c.places[scheduler.ID(id)])
		}
	}
	c.made[key] = int32(len(c.all))
	c.all = append(c.all, cal)
	return c.made[key]
}

func closed(cs []scheduler.Closure) []worktime.DateRange {
	ranges := make([]worktime.DateRange, len(cs))
	for k, c := range cs {
		ranges[k] = worktime.DateRange{From: c.From, To: c.To}
	}
	return ranges
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
