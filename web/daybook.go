package web

import (
	"sync/atomic"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// dayBook is the civil days of one job as they are written and drawn, each worked out
// when it is first asked for. It is safe for many goroutines.
type dayBook struct {
	zone *time.Location
	year int // days of another year carry theirs
	job  *scheduler.Job
	from worktime.Date // of the days that are kept
	days [daysBefore + daysAfter]atomic.Pointer[bookedDay]
}

// How many days before and after the as-of day are kept. Any other is worked out each
// time.
const (
	daysBefore = 365
	daysAfter  = 3 * 365
)

// bookedDay is one of them.
type bookedDay struct {
	hours         draw.Hours
	begins, ends  int64 // seconds since 1970
	words, number string
}

func newDayBook(job *scheduler.Job, zone *time.Location, asOf worktime.Date) *dayBook {
	return &dayBook{zone: zone, year: asOf.At(0, zone).Time(zone).Year(), job: job, from: asOf - daysBefore}
}

func (o *dayBook) day(d worktime.Date) *bookedDay {
	k := int(d - o.from)
	if k < 0 || k >= len(o.days) {
		return o.work(d)
	}
	if known := o.days[k].Load(); known != nil {
		return known
	}
	day := o.work(d)
	o.days[k].Store(day)
	return day
}

func (o *dayBook) work(d worktime.Date) *bookedDay {
	begins := d.At(0, o.zone).Time(o.zone)
	day := &bookedDay{
		begins: begins.Unix(), ends: (d + 1).At(0, o.zone).Time(o.zone).Unix(),
		words: clockwork{zone: o.zone, year: o.year}.date(d), number: d.String(), hours: draw.Hours{Begins: begins},
	}
	if periods := o.job.Week[d.Weekday()]; len(periods) > 0 && closure(o.job, d) == "" {
		day.hours.Works = true
		day.hours.Open = d.At(periods[0].From, o.zone).Time(o.zone)
		day.hours.Shut = d.At(periods[len(periods)-1].To, o.zone).Time(o.zone)
	}
	return day
}

// civil is the day to which a time belongs.
func (o *dayBook) civil(t time.Time) worktime.Date {
	const long = 24 * 60 * 60
	at := t.Unix()
	d := worktime.Date(at / long)
	for at < o.day(d).begins {
		d--
	}
	for at >= o.day(d).ends {
		d++
	}
	return d
}
