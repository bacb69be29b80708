package worktime

import (
	"fmt"
	"time"
)

// Date is a civil day, counted in days from 1970-01-01. It knows no time zone.
type Date int32

const secondsPerDay = 24 * 60 * 60

// ParseDate reads YYYY-MM-DD and nothing else; a day that no calendar has
// (2026-02-30) is an error.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, fmt.Errorf("%q is not a day: write year-month-day, for instance 2026-05-18", s)
	}
	return DateOf(t), nil
}

// NewDate is the civil day of the given year, month and day of the month.
func NewDate(year int, month time.Month, day int) Date {
	return DateOf(time.Date(year, month, day, 0, 0, 0, 0, time.UTC))
}

// DateOf is the civil day that a time shows, in the zone it carries.
func DateOf(t time.Time) Date {
	s := wallSeconds(t)
	if s < 0 {
		s -= secondsPerDay - 1
	}
	return Date(s / secondsPerDay)
}

// String writes the day as YYYY-MM-DD.
func (d Date) String() string { return d.utc().Format(time.DateOnly) }

// Weekday is the day of the week.
func (d Date) Weekday() time.Weekday { return d.utc().Weekday() }

// Format writes the day with a layout of package time, for pages and tables.
func (d Date) Format(layout string) string { return d.utc().Format(layout) }

// At is the instant at a wall-clock time of the day in a zone: the first at which
// clocks there have come to that time. A time that a clock change skips is thus the
// moment of the change, and of a time that comes twice the first is meant.
func (d Date) At(c Clock, zone *time.Location) Instant {
	u := d.utc()
	t := time.Date(u.Year(), u.Month(), u.Day(), int(c)/60, int(c)%60, 0, 0, zone)
	wall := int64(d)*secondsPerDay + int64(c)*60
	shown := wallSeconds(t)
	// Which of the two zones of a clock change time.Date takes is not promised.
	start, end := t.ZoneBounds()
	switch {
	case shown > wall:
		t = start
	case shown < wall:
		t = end
	case !start.IsZero():
		_, before := start.Add(-time.Second).Zone()
		if earlier := wall - int64(before); earlier < start.Unix() {
			t = time.Unix(earlier, 0)
		}
	}
	return FromTime(t)
}

// wallSeconds is what clocks show at t, as if they stood at Greenwich.
func wallSeconds(t time.Time) int64 {
	_, offset := t.Zone()
	return t.Unix() + int64(offset)
}

// MarshalText writes the day as YYYY-MM-DD.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads YYYY-MM-DD.
func (d *Date) UnmarshalText(b []byte) (err error) {
	*d, err = ParseDate(string(b))
	return err
}

func (d Date) utc() time.Time { return time.Unix(int64(d)*secondsPerDay, 0).UTC() }
