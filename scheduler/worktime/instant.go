package worktime

import "time"

// Instant is a moment in minutes since 1970-01-01 00:00 UTC.
type Instant int64

const (
	// Ever is before every moment a calendar knows.
	Ever Instant = -1 << 40
	// Never is after every moment a calendar knows: what is never reached.
	Never Instant = 1 << 40
)

// FromTime is the minute in which t lies.
func FromTime(t time.Time) Instant {
	s := t.Unix()
	if s < 0 {
		s -= 59
	}
	return Instant(s / 60)
}

// Time is the instant as a time in a zone.
func (i Instant) Time(zone *time.Location) time.Time {
	return time.Unix(int64(i)*60, 0).In(zone)
}

// Date is the civil day of the instant in a zone.
func (i Instant) Date(zone *time.Location) Date { return DateOf(i.Time(zone)) }

// Known says whether the instant lies between Ever and Never.
func (i Instant) Known() bool { return i > Ever && i < Never }
