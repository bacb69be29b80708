package worktime_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	. "gaugerod/scheduler/worktime"
)

func TestParseDate(t *testing.T) {
	for _, c := range []struct {
		text string
		want Date
		fail bool
	}{
		{text: "1970-01-01", want: 0},
		{text: "1969-12-31", want: -1},
		{text: "2026-05-18", want: 20591},
		{text: "2024-02-29", want: 19782},
		{text: "2026-02-29", fail: true},
		{text: "2026-02-30", fail: true},
		{text: "2026-13-01", fail: true},
		{text: "2026-00-10", fail: true},
		{text: "2026-1-1", fail: true},
		{text: "26-01-01", fail: true},
		{text: "18.05.2026", fail: true},
		{text: "2026/05/18", fail: true},
		{text: " 2026-05-18", fail: true},
		{text: "2026-05-18 ", fail: true},
		{text: "", fail: true},
	} {
		got, err := ParseDate(c.text)
		if (err != nil) != c.fail || got != c.want {
			t.Errorf("%q: %d, %v", c.text, got, err)
		}
		if err != nil && !strings.Contains(err.Error(), "2026-05-18") {
			t.Errorf("%q: the error shows no right example: %v", c.text, err)
		}
	}
}

// Every day of 80 years against package time: number, weekday, text, and back.
func TestDatesDayByDay(t *testing.T) {
	at := time.Date(1965, time.January, 1, 0, 0, 0, 0, time.UTC)
	for want := NewDate(1965, time.January, 1); at.Year() < 2045; want, at = want+1, at.AddDate(0, 0, 1) {
		y, m, d := at.Date()
		if got := NewDate(y, m, d); got != want || got.Weekday() != at.Weekday() || got.String() != at.Format(time.DateOnly) || got.Format("Mon 2 Jan") != at.Format("Mon 2 Jan") {
			t.Fatalf("%v is %d %v %v, not %d", at, got, got.Weekday(), got, want)
		}
		if back, err := ParseDate(want.String()); err != nil || back != want {
			t.Fatalf("%v came back as %v, %v", want, back, err)
		}
	}
}

func TestAtOverClockChanges(t *testing.T) {
	for _, c := range []struct{ zone, day, clock, want string }{
		{"Europe/Vienna", "2026-03-29", "01:59", "2026-03-29T00:59:00Z"},
		{"Europe/Vienna", "2026-03-29", "02:00", "2026-03-29T01:00:00Z"}, // skipped: the moment of the change
		{"Europe/Vienna", "2026-03-29", "02:30", "2026-03-29T01:00:00Z"},
		{"Europe/Vienna", "2026-03-29", "03:00", "2026-03-29T01:00:00Z"},
		{"Europe/Vienna", "2026-03-29", "03:01", "2026-03-29T01:01:00Z"},
		{"Europe/Vienna", "2026-10-25", "02:30", "2026-10-25T00:30:00Z"}, // twice: the first
		{"Europe/Vienna", "2026-10-25", "03:00", "2026-10-25T02:00:00Z"},
		{"America/New_York", "2026-03-08", "02:30", "2026-03-08T07:00:00Z"},
		{"America/New_York", "2026-11-01", "01:30", "2026-11-01T05:30:00Z"},
		{"America/New_York", "2026-11-01", "02:00", "2026-11-01T07:00:00Z"},
		{"Australia/Lord_Howe", "2026-10-04", "02:15", "2026-10-03T15:30:00Z"}, // half an hour
		{"Australia/Lord_Howe", "2026-10-04", "02:30", "2026-10-03T15:30:00Z"},
		{"Australia/Lord_Howe", "2026-04-05", "01:45", "2026-04-04T14:45:00Z"},
		{"America/Santiago", "2026-09-06", "00:00", "2026-09-06T04:00:00Z"}, // midnight itself is skipped
		{"America/Havana", "2026-11-01", "00:00", "2026-11-01T04:00:00Z"},   // midnight comes twice
		{"Europe/Vienna", "2026-07-01", "24:00", "2026-07-01T22:00:00Z"},
	} {
		zone := zoneOf(t, c.zone)
		day, err := ParseDate(c.day)
		if err != nil {
			t.Fatal(err)
		}
		clock, err := ParseClock(c.clock)
		if err != nil {
			t.Fatal(err)
		}
		if got := day.At(clock, zone).Time(time.UTC).Format(time.RFC3339); got != c.want {
			t.Errorf("%s %s in %s is %s, not %s", c.day, c.clock, c.zone, got, c.want)
		}
	}
}

// At never runs backwards, and it is what package time says on every day without a
// clock change.
func TestAtDayByDay(t *testing.T) {
	for _, name := range []string{"Europe/Vienna", "America/New_York", "Australia/Lord_Howe", "America/Havana", "America/Santiago"} {
		zone := zoneOf(t, name)
		last := Ever
		for day := NewDate(2025, time.January, 1); day < NewDate(2029, time.January, 1); day++ {
			y, m, d := civil(day)
			_, before := time.Date(y, m, d-1, 12, 0, 0, 0, zone).Zone()
			_, after := time.Date(y, m, d+1, 12, 0, 0, 0, zone).Zone()
			plain := before == after
			for clock := Clock(0); clock < 24*60; clock += 15 {
				at := day.At(clock, zone)
				if at < last {
					t.Fatalf("%s: %v %v comes before what it follows", name, day, clock)
				}
				last = at
				if want := time.Date(y, m, d, int(clock/60), int(clock%60), 0, 0, zone); plain && at != FromTime(want) {
					t.Fatalf("%s: %v %v is %v, not %v", name, day, clock, at.Time(zone), want)
				}
			}
			if noon := day.At(12*60, zone); noon.Date(zone) != day {
				t.Fatalf("%s: noon of %v lies in %v", name, day, noon.Date(zone))
			}
		}
	}
}

func TestFromTimeIsTheMinuteItLiesIn(t *testing.T) {
	for seconds := int64(-200); seconds < 200; seconds++ {
		want := Instant(seconds / 60)
		for int64(want)*60 > seconds {
			want--
		}
		if got := FromTime(time.Unix(seconds, 999)); got != want {
			t.Fatalf("second %d lies in minute %d, not %d", seconds, got, want)
		}
	}
	if Ever.Known() || Never.Known() || !Instant(0).Known() {
		t.Error("ever and never are not known instants")
	}
}

func TestTextInJSON(t *testing.T) {
	type all struct {
		Day  Date
		When When
		Span Span
	}
	const text = `{"Day":"2026-05-18","When":"2026-05-18 07:30","Span":"28 elapsed days"}`
	var a all
	if err := json.Unmarshal([]byte(text), &a); err != nil {
		t.Fatal(err)
	}
	if back, err := json.Marshal(a); err != nil || string(back) != text {
		t.Errorf("%s, %v", back, err)
	}
	for _, bad := range []string{`{"Day":"x"}`, `{"When":"2026-05-18T07:30"}`, `{"Span":"3"}`} {
		if json.Unmarshal([]byte(bad), &a) == nil {
			t.Errorf("%s was taken", bad)
		}
	}
}
