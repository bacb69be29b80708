package planner

import (
	"fmt"
	"strings"
)

// atMost is working minutes as people say them, rounded up.
func (s *solution) atMost(minutes int64) string {
	day := s.net.Job.DayMinutes()
	if minutes >= day {
		return count(int((minutes+day-1)/day), "working day")
	}
	return count(int((minutes+59)/60), "working hour")
}

// workingTime is working minutes as people say them, to the nearest.
func (s *solution) workingTime(minutes int64) string {
	day := s.net.Job.DayMinutes()
	if minutes >= day {
		return count(int((minutes+day/2)/day), "working day")
	}
	return count(int((minutes+30)/60), "working hour")
}

// clockTime is minutes by the clock as people say them: "4 days 16 hours".
func clockTime(minutes int64) string {
	days, hours, left := minutes/(24*60), minutes/60%24, minutes%60
	text := ""
	for _, part := range []struct {
		n    int64
		unit string
	}{{days, "day"}, {hours, "hour"}, {left, "minute"}} {
		if part.n > 0 {
			text += " " + count(int(part.n), part.unit)
		}
	}
	if text == "" {
		return "0 minutes"
	}
	return text[1:]
}

// some is a list of at most n words, and how many more there are.
func some(words []string, n int) string {
	more := ""
	if len(words) > n {
		more = fmt.Sprintf(" and %d more", len(words)-n)
		words = words[:n]
	}
	return strings.Join(words, ", ") + more
}

// upper is a sentence from its first words.
func upper(text string) string { return strings.ToUpper(text[:1]) + text[1:] }
