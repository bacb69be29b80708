package web

import (
	"testing"
	"time"

	"gaugerod/scheduler/worktime"
)

var inVienna = func() clockwork {
	zone, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		panic(err)
	}
	return clockwork{zone: zone, year: 2026, day: 8 * 60}
}()

func TestLengthsOfWorkInWords(t *testing.T) {
	for minutes, want := range map[int64]string{
		0: "no time", 30: "30 working minutes", 60: "1 working hour", 90: "1½ working hours", 240: "½ working day", 300: "5 working hours",
		480: "1 working day", 600: "1½ working days", 720: "1½ working days", 960: "2 working days", -960: "2 working days", 4800: "10 working days",
	} {
		if got := inVienna.work(minutes); got != want {
			t.Errorf("%d minutes are %q, not %q", minutes, got, want)
		}
	}
	for minutes, want := range map[int64]string{-480: "1 working day late", 0: "nothing in hand", 480: "1 working day in hand"} {
		if got := inVienna.margin(minutes); got != want {
			t.Errorf("a margin of %d is %q, not %q", minutes, got, want)
		}
	}
	for d, want := range map[time.Duration]string{
		45 * time.Minute: "45 minutes", time.Hour: "1 hour", 30 * time.Hour: "30 hours", 48 * time.Hour: "2 days", 60 * time.Hour: "2½ days", 240 * time.Hour: "10 days",
	} {
		if got := elapsed(d); got != want {
			t.Errorf("%v are %q, not %q", d, got, want)
		}
	}
}

// TestDaysInWords writes times in the job's zone: midnight UTC is the same or the
// next day there, and midnight there ends the day before.
func TestDaysInWords(t *testing.T) {
	midnight := time.Date(2026, 5, 21, 22, 0, 0, 0, time.UTC) // 24:00 on the 21st in Vienna
	for _, c := range []struct{ got, want string }{
		{inVienna.on(midnight).Text, "Fri 22 May"},
		{inVienna.onEnd(midnight).Text, "Thu 21 May"},
		{inVienna.onEnd(midnight).Day, "2026-05-21"},
		{inVienna.atEnd(midnight).Text, "Thu 21 May, 24:00"},
		{inVienna.at(midnight.Add(-6 * time.Hour)).Text, "Thu 21 May, 18:00"},
		{inVienna.date(worktime.NewDate(2027, 1, 4)), "Mon 4 Jan 2027"},
		{away(10, 10), "today"},
		{away(10, 11), "tomorrow"},
		{away(10, 8), "2 days ago"},
		{away(10, 19), "in 9 days"},
		{listed([]string{"a", "b", "c"}), "a, b and c"},
		{number(0, "alert"), "no alerts"},
		{number(1, "alert"), "one alert"},
		{number(12, "delivery"), "12 deliveries"},
		{number(2, "day"), "two days"},
	} {
		if c.got != c.want {
			t.Errorf("%q, not %q", c.got, c.want)
		}
	}
}
