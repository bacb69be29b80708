package verify

import (
	"math/rand/v2"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// TestClockIsTheFirstMoment holds the checker's clock against every minute of the
// days around clock changes: the first at which clocks have come to a time.
func TestClockIsTheFirstMoment(t *testing.T) {
	for _, name := range []string{"Europe/Vienna", "America/New_York", "Australia/Lord_Howe", "UTC"} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		c := &checker{zone: zone}
		for _, day := range []worktime.Date{
			worktime.NewDate(2026, time.March, 8), worktime.NewDate(2026, time.March, 29), worktime.NewDate(2026, time.April, 5),
			worktime.NewDate(2026, time.October, 4), worktime.NewDate(2026, time.October, 25), worktime.NewDate(2026, time.November, 1),
			worktime.NewDate(2026, time.July, 1),
		} {
			for at := worktime.Clock(0); at <= 24*60; at += 5 {
				got := time.Unix(int64(c.clock(day, at))*60, 0).In(zone)
				if !shows(got, day, at) || shows(got.Add(-time.Minute), day, at) {
					t.Errorf("%s: %s %s is taken to be %s", name, day, at, got)
				}
				if at > 0 && c.clock(day, at) < c.clock(day, at-5) {
					t.Errorf("%s: %s runs backwards at %s", name, day, at)
				}
				if want := day.At(at, zone); minute(want) != c.clock(day, at) {
					t.Errorf("%s: %s %s is %s, package worktime says %s", name, day, at, got, want.Time(zone))
				}
			}
		}
	}
}

// shows says whether clocks at a moment have come to a time of a day.
func shows(t time.Time, day worktime.Date, at worktime.Clock) bool {
	y, m, d := t.Date()
	shown := int64(worktime.NewDate(y, m, d))*24*60 + int64(t.Hour()*60+t.Minute())
	return shown >= int64(day)*24*60+int64(at)
}

// TestCalendarMinuteByMinute holds every question that the checker asks of a
// calendar against counting the minutes one by one.
func TestCalendarMinuteByMinute(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	zone, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Fatal(err)
	}
	c := &checker{zone: zone, cals: calendars{made: map[string]*calendar{}}}
	c.cals.from, c.cals.to = worktime.NewDate(2026, time.March, 26), worktime.NewDate(2026, time.April, 1)
	week := worktime.Week{}
	for d := range week {
		week[d] = []worktime.Period{{From: 90, To: 200}, {From: 480, To: 720}, {From: 750, To: 1440}}
	}
	week[time.Saturday] = nil
	cal := c.overlap("", []hours{{week, []scheduler.Closure{{From: c.cals.from + 1, To: c.cals.from + 1}}}})
	first, last := c.clock(c.cals.from-1, 0), c.clock(c.cals.to+2, 0)
	worked := make([]minute, last-first+1) // before each minute
	open := func(m minute) bool {
		at := time.Unix(int64(m)*60, 0).In(zone)
		y, mo, d := at.Date()
		day, clock := worktime.NewDate(y, mo, d), worktime.Clock(at.Hour()*60+at.Minute())
		if day < c.cals.from || day > c.cals.to || day == c.cals.from+1 {
			return false
		}
		for _, p := range week[day.Weekday()] {
			if p.From <= clock && clock < p.To {
				return true
			}
		}
		return false
	}
	for m := first; m < last; m++ {
		worked[m+1-first] = worked[m-first]
		if open(m) {
			worked[m+1-first]++
		}
	}
	total := worked[last-first]
	for range 3000 {
		m := first + 2 + minute(rng.Int64N(int64(last-first-3)))
		if cal.upTo(m) != worked[m-first] || cal.works(m) != open(m) || cal.stands(m) != (open(m) || open(m-1)) {
			t.Fatalf("%s: %d worked, works %v, stands %v", m.in(zone), cal.upTo(m), cal.works(m), cal.stands(m))
		}
		next := m
		for next < last && !open(next) {
			next++
		}
		if got := cal.next(m, 1); got != next && next < last {
			t.Fatalf("next after %s is %s", m.in(zone), got.in(zone))
		}
		amount := 1 + minute(rng.Int64N(int64(total)))
		if r := cal.reach(amount); worked[r-first] != amount || worked[r-1-first] != amount-1 {
			t.Fatalf("%d are reached at %s", amount, r.in(zone))
		}
		if amount < total {
			if r := cal.still(amount); worked[r-first] != amount || worked[r+1-first] != amount+1 {
				t.Fatalf("%d are still so at %s", amount, r.in(zone))
			}
		}
	}
}
