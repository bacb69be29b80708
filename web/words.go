package web

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"gaugerod/scheduler/worktime"
)

// clockwork writes days and lengths of time as readers of one job say them.
type clockwork struct {
	zone *time.Location
	year int      // days of another year carry theirs
	day  int64    // working minutes in "1 day"
	book *dayBook // nil: days are worked out each time
}

// date is a civil day: "Thu 21 May".
func (c clockwork) date(d worktime.Date) string {
	if d.Format("2006") != strconv.Itoa(c.year) {
		return d.Format("Mon 2 Jan 2006")
	}
	return d.Format("Mon 2 Jan")
}

// civil is the day to which a time belongs. Midnight as an end belongs to the day
// that it ends.
func (c clockwork) civil(t time.Time) worktime.Date {
	if c.book != nil {
		return c.book.civil(t)
	}
	return worktime.FromTime(t).Date(c.zone)
}

func (c clockwork) civilEnd(t time.Time) worktime.Date {
	return c.civil(t.Add(-time.Minute))
}

// timed is a day with its time of day, for pages that go into detail.
func (c clockwork) timed(t time.Time) string {
	return c.date(c.civil(t)) + t.In(c.zone).Format(", 15:04")
}

// timedEnd is timed for an end: midnight is 24:00 of the day before.
func (c clockwork) timedEnd(t time.Time) string {
	if l := t.In(c.zone); l.Hour() == 0 && l.Minute() == 0 {
		return c.date(c.civilEnd(t)) + ", 24:00"
	}
	return c.timed(t)
}

// work is a length of working time: "3½ working days", "2 working hours".
func (c clockwork) work(minutes int64) string {
	minutes = max(minutes, -minutes)
	if minutes == 0 {
		return "no time"
	}
	halves := (2*minutes + c.day/2) / c.day
	if minutes < c.day && 2*minutes != c.day {
		return hours(minutes, "working ")
	}
	return count(halves, "working day")
}

// margin says on which side of a day a time lies: "3 working days in hand",
// "2 working days late".
func (c clockwork) margin(minutes int64) string {
	switch {
	case minutes < 0:
		return c.work(minutes) + " late"
	case minutes == 0:
		return "nothing in hand"
	default:
		return c.work(minutes) + " in hand"
	}
}

// elapsed is a length of real time: hours up to two days, then days.
func elapsed(d time.Duration) string {
	minutes := int64(d / time.Minute)
	if minutes < 48*60 {
		return hours(minutes, "")
	}
	return count((2*minutes+12*60)/(24*60), "day")
}

func hours(minutes int64, kind string) string {
	if minutes < 60 {
		return fmt.Sprintf("%d %sminutes", minutes, kind)
	}
	return count((2*minutes+30)/60, kind+"hour")
}

// count writes a number of halves of something: "1 day", "2½ days", "½ day".
func count(halves int64, thing string) string {
	whole := ""
	if halves >= 2 || halves == 0 {
		whole = strconv.FormatInt(halves/2, 10)
	}
	if halves%2 == 1 {
		whole += "½"
	}
	if halves > 2 || halves == 0 {
		thing += "s"
	}
	return whole + " " + thing
}

// number writes small numbers as words, for the beginning and the flow of sentences.
func number(n int, thing string) string {
	words := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}
	if n != 1 {
		thing = plural(thing)
	}
	if n < len(words) {
		return words[n] + " " + thing
	}
	return strconv.Itoa(n) + " " + thing
}

func plural(thing string) string {
	if strings.HasSuffix(thing, "y") && !strings.HasSuffix(thing, "day") {
		return strings.TrimSuffix(thing, "y") + "ies"
	}
	return thing + "s"
}

// away is how far a day lies from another: "today", "in 3 days", "2 days ago".
func away(from, to worktime.Date) string {
	switch n := int(to - from); {
	case n == 0:
		return "today"
	case n == 1:
		return "tomorrow"
	case n == -1:
		return "yesterday"
	case n > 0:
		return fmt.Sprintf("in %d days", n)
	default:
		return fmt.Sprintf("%d days ago", -n)
	}
}

// listed joins words as a sentence does: "a, b and c".
func listed(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

// upper makes the first letter of a sentence a capital.
func upper(s string) string {
	if s == "" {
		return s
	}
	_, first := utf8.DecodeRuneInString(s)
	if capital := strings.ToUpper(s[:first]); capital != s[:first] {
		return capital + s[first:]
	}
	return s
}
