package worktime

import (
	"fmt"
	"time"
)

// Clock is a wall-clock time of day in minutes after midnight, 0 to 1440.
type Clock int16

// ParseClock reads HH:MM, 00:00 to 24:00.
func ParseClock(s string) (Clock, error) {
	if s == "24:00" {
		return 24 * 60, nil
	}
	t, err := time.Parse("15:04", s)
	if err != nil || len(s) != 5 {
		return 0, fmt.Errorf("%q is not a time of day: write hours and minutes, for instance 07:30", s)
	}
	return Clock(t.Hour()*60 + t.Minute()), nil
}

// String writes the time as HH:MM.
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", c/60, c%60) }

// Period is a stretch of one day in wall-clock time, from From until To.
type Period struct{ From, To Clock }

// String writes the period as 07:30-12:00.
func (p Period) String() string { return p.From.String() + "-" + p.To.String() }

// Week is the working periods of each day, index time.Sunday to time.Saturday.
// The periods of a day are in order and do not overlap.
type Week [7][]Period

// LongestDay is the working minutes of the week's longest day.
func (w Week) LongestDay() int64 {
	var longest int64
	for day := range w {
		longest = max(longest, w.dayMinutes(day))
	}
	return longest
}

// WorkingDays is how many days of the week have any working time.
func (w Week) WorkingDays() int64 {
	var n int64
	for day := range w {
		if w.dayMinutes(day) > 0 {
			n++
		}
	}
	return n
}

func (w Week) dayMinutes(day int) int64 {
	var sum int64
	for _, p := range w[day] {
		sum += int64(p.To - p.From)
	}
	return sum
}

// When is a day, with a time of day where one is known.
type When struct {
	Day  Date
	Time *Clock // nil: the day alone
}

// ParseWhen reads "2026-05-18" or "2026-05-18 07:30".
func ParseWhen(s string) (When, error) {
	if len(s) <= len(time.DateOnly) {
		d, err := ParseDate(s)
		return When{Day: d}, err
	}
	cut := len(time.DateOnly)
	d, err := ParseDate(s[:cut])
	if err != nil {
		return When{}, err
	}
	if s[cut] != ' ' {
		return When{}, fmt.Errorf("%q is not a day with a time: write for instance 2026-05-18 07:30", s)
	}
	c, err := ParseClock(s[cut+1:])
	return When{Day: d, Time: &c}, err
}

// String writes the day, and the time after a blank where there is one.
func (w When) String() string {
	if w.Time == nil {
		return w.Day.String()
	}
	return w.Day.String() + " " + w.Time.String()
}

// MarshalText writes what ParseWhen reads.
func (w When) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (w *When) UnmarshalText(b []byte) (err error) {
	*w, err = ParseWhen(string(b))
	return err
}
