package worktime_test

import (
	"strings"
	"testing"
	"time"

	. "gaugerod/scheduler/worktime"
)

func TestParseClock(t *testing.T) {
	for _, c := range []struct {
		text string
		want Clock
		fail bool
	}{
		{text: "00:00", want: 0},
		{text: "07:30", want: 450},
		{text: "23:59", want: 1439},
		{text: "24:00", want: 1440},
		{text: "24:01", fail: true},
		{text: "7:30", fail: true},
		{text: "07:60", fail: true},
		{text: "07.30", fail: true},
		{text: "07:3", fail: true},
		{text: "07:3a", fail: true},
		{text: "7:300", fail: true},
		{text: "-7:30", fail: true},
		{text: "", fail: true},
	} {
		got, err := ParseClock(c.text)
		if (err != nil) != c.fail || got != c.want {
			t.Errorf("%q: %v, %v", c.text, got, err)
		}
		if err == nil && got.String() != c.text {
			t.Errorf("%q came back as %q", c.text, got)
		}
		if err != nil && !strings.Contains(err.Error(), "07:30") {
			t.Errorf("%q: the error shows no right example: %v", c.text, err)
		}
	}
}

func TestParseWhen(t *testing.T) {
	for _, c := range []struct {
		text string
		fail bool
	}{
		{text: "2026-05-18"},
		{text: "2026-05-18 07:30"},
		{text: "2026-05-18 24:00"},
		{text: "2026-05-18 ", fail: true},
		{text: "2026-05-18T07:30", fail: true},
		{text: "2026-05-18  07:30", fail: true},
		{text: "2026-05-18 7:30", fail: true},
		{text: "2026-05-18 07:30:00", fail: true},
		{text: "2026-02-30 07:30", fail: true},
		{text: "07:30", fail: true},
		{text: "2026-05-1é07:30", fail: true},
	} {
		got, err := ParseWhen(c.text)
		if (err != nil) != c.fail {
			t.Errorf("%q: %v, %v", c.text, got, err)
		}
		if err == nil && got.String() != c.text {
			t.Errorf("%q came back as %q", c.text, got)
		}
	}
}

func TestParseSpan(t *testing.T) {
	const day, weekDays = 480, 5
	for _, c := range []struct {
		text    string
		minutes int64
		elapsed bool
		fail    bool
	}{
		{text: "0 minutes", minutes: 0},
		{text: "1 minute", minutes: 1},
		{text: "4 hours", minutes: 240},
		{text: "1 hour", minutes: 60},
		{text: "3 days", minutes: 3 * 480},
		{text: "1 day", minutes: 480},
		{text: "2 weeks", minutes: 2 * 5 * 480},
		{text: "90 elapsed minutes", minutes: 90, elapsed: true},
		{text: "48 elapsed hours", minutes: 48 * 60, elapsed: true},
		{text: "28 elapsed days", minutes: 28 * 1440, elapsed: true},
		{text: "1 elapsed week", minutes: 7 * 1440, elapsed: true},
		{text: "100000 weeks", minutes: 100_000 * 5 * 480},
		{text: "100001 days", fail: true},
		{text: "-1 days", fail: true},
		{text: "+1 days", fail: true},
		{text: "01 days", fail: true},
		{text: "1.5 days", fail: true},
		{text: "1,5 days", fail: true},
		{text: "3", fail: true},
		{text: "3days", fail: true},
		{text: "3  days", fail: true},
		{text: "3 days ", fail: true},
		{text: "3 day", fail: true},
		{text: "3 months", fail: true},
		{text: "3 Days", fail: true},
		{text: "days", fail: true},
		{text: "", fail: true},
		{text: "99999999999999999999 days", fail: true},
	} {
		got, err := ParseSpan(c.text)
		if (err != nil) != c.fail {
			t.Errorf("%q: %v, %v", c.text, got, err)
		}
		if err != nil {
			continue
		}
		if got.String() != c.text || got.Minutes(day, weekDays) != c.minutes || got.Elapsed() != c.elapsed || got.Zero() != (c.minutes == 0) {
			t.Errorf("%q: %v is %d minutes", c.text, got, got.Minutes(day, weekDays))
		}
	}
	if _, err := ParseSpan("3 months"); !strings.Contains(err.Error(), "elapsed weeks") {
		t.Errorf("the error does not name the units: %v", err)
	}
}

func TestWeek(t *testing.T) {
	week := Week{
		time.Monday:   {{450, 720}, {750, 960}},
		time.Saturday: {{480, 720}},
	}
	if week.LongestDay() != 480 || week.WorkingDays() != 2 {
		t.Errorf("longest day %d, %d working days", week.LongestDay(), week.WorkingDays())
	}
	if (Week{}).LongestDay() != 0 || (Week{}).WorkingDays() != 0 {
		t.Error("an empty week has no time")
	}
	if week[time.Monday][0].String() != "07:30-12:00" {
		t.Errorf("written as %v", week[time.Monday][0])
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"2026-05-18", "2026-05-18 07:30", "24:00", "07:30", "3 days", "1 elapsed week", "0 minutes", "-0 days", "2026-05-1é"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if d, err := ParseDate(text); err == nil && d.String() != text {
			t.Errorf("day %q came back as %q", text, d)
		}
		if c, err := ParseClock(text); err == nil && c.String() != text {
			t.Errorf("clock %q came back as %q", text, c)
		}
		if w, err := ParseWhen(text); err == nil && w.String() != text {
			t.Errorf("when %q came back as %q", text, w)
		}
		if s, err := ParseSpan(text); err == nil {
			if back, err := ParseSpan(s.String()); err != nil || back != s {
				t.Errorf("span %q came back as %v, %v", text, back, err)
			}
		}
	})
}
