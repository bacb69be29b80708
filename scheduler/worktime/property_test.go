package worktime_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	. "gaugerod/scheduler/worktime"
)

// changes are days near which clocks change: forward and back in zones east and west
// of Greenwich, by half an hour, and at midnight.
var changes = []struct{ zone, day string }{
	{"Europe/Vienna", "2026-03-29"},
	{"Europe/Vienna", "2026-10-25"},
	{"Australia/Lord_Howe", "2026-04-05"},
	{"Australia/Lord_Howe", "2026-10-04"},
	{"America/New_York", "2026-03-08"},
	{"America/New_York", "2026-11-01"},
	{"America/Havana", "2026-03-08"},
	{"America/Havana", "2026-11-01"},
	{"America/Santiago", "2026-04-05"},
	{"America/Santiago", "2026-09-06"},
	{"UTC", "2026-06-01"},
}

func zoneOf(t interface { // testing and rapid
	Helper()
	Fatalf(string, ...any)
}, name string,
) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation(name)
	if err != nil {
		t.Fatalf("zone %s: %v", name, err)
	}
	return zone
}

func drawWeek(t *rapid.T, label string) (week Week) {
	for day := range week {
		clocks := rapid.SliceOfNDistinct(rapid.Map(rapid.IntRange(0, 24*60), func(m int) Clock { return Clock(m) }), 0, 6, rapid.ID[Clock]).Draw(t, label)
		for a := range clocks {
			for b := range clocks[:a] {
				if clocks[a] < clocks[b] {
					clocks[a], clocks[b] = clocks[b], clocks[a]
				}
			}
		}
		for k := 0; k+1 < len(clocks); k += 2 {
			week[day] = append(week[day], Period{clocks[k], clocks[k+1]})
		}
	}
	return week
}

func drawOff(t *rapid.T, from Date) []DateRange {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) DateRange {
		a := from + Date(rapid.IntRange(-3, 9).Draw(t, "from"))
		return DateRange{a, a + Date(rapid.IntRange(0, 3).Draw(t, "days"))}
	}), 0, 2).Draw(t, "off")
}

func TestCalendarAgainstEveryMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		change := rapid.SampledFrom(changes).Draw(t, "change")
		zone := zoneOf(t, change.zone)
		day, err := ParseDate(change.day)
		if err != nil {
			t.Fatal(err)
		}
		from := day - Date(rapid.IntRange(0, 4).Draw(t, "before"))
		to := from + Date(rapid.IntRange(0, 6).Draw(t, "days"))
		almanac := NewAlmanac(zone, from, to)
		weekA, offA := drawWeek(t, "week"), drawOff(t, from)
		weekB, offB := drawWeek(t, "other week"), drawOff(t, from)
		a, b := almanac.Calendar(weekA, offA), almanac.Calendar(weekB, offB)
		plainA, plainB := newPlain(zone, from, to, weekA, offA), newPlain(zone, from, to, weekB, offB)
		compare(t, a, plainA)
		compare(t, Overlap(a, b), overlapPlain(plainA, plainB))
		if Overlap(a, Continuous()) != a || Overlap(Continuous(), b) != b {
			t.Fatal("real time takes nothing away")
		}
	})
}

// compare asks both about every instant and every amount of work, by running sums
// rather than by the reference's own slow search.
func compare(t *rapid.T, c *Calendar, p *plainCalendar) {
	t.Helper()
	var sum int64
	for u := p.base - 1; u <= p.end()+1; u++ {
		if got := c.Work(u); got != sum {
			t.Fatalf("work before %d is %d, not %d", u, got, sum)
		}
		if p.at(u) {
			if got := c.Last(sum); got != u {
				t.Fatalf("the minute after %d of work starts at %d, not %d", sum, got, u)
			}
			sum++
			if got := c.First(sum); got != u+1 {
				t.Fatalf("%d of work is reached at %d, not %d", sum, got, u+1)
			}
		}
	}
	if c.Total() != sum {
		t.Fatalf("total %d, not %d", c.Total(), sum)
	}
	if c.First(sum+1) != Never || c.Last(sum) != Never || c.First(0) != Ever || c.First(-1) != Ever || c.Last(-1) != Ever {
		t.Fatal("beyond the calendar")
	}
	next, nextEdge := Never, Never
	for u := p.end() + 1; u >= p.base-1; u-- {
		if p.at(u) {
			next = u
		}
		if p.edge(u) {
			nextEdge = u
		}
		if got := c.NextOpen(u); got != next {
			t.Fatalf("next open from %d is %d, not %d", u, got, next)
		}
		if got := c.NextEdge(u); got != nextEdge {
			t.Fatalf("next edge from %d is %d, not %d", u, got, nextEdge)
		}
	}
	lastEdge := Ever
	for u := p.base - 1; u <= p.end()+1; u++ {
		if p.edge(u) {
			lastEdge = u
		}
		if got := c.LastEdge(u); got != lastEdge {
			t.Fatalf("last edge to %d is %d, not %d", u, got, lastEdge)
		}
	}
}

// The running sums of compare and the reference's own definitions agree.
func TestReferenceAgreesWithItself(t *testing.T) {
	zone := zoneOf(t, "Europe/Vienna")
	day := NewDate(2026, time.March, 28)
	week := Week{time.Saturday: {{450, 720}}, time.Sunday: {{60, 240}}}
	p := newPlain(zone, day, day+1, week, nil)
	c := NewAlmanac(zone, day, day+1).Calendar(week, nil)
	for u := p.base; u <= p.end(); u += 17 {
		if c.Work(u) != p.work(u) || c.NextOpen(u) != p.nextOpen(u) || c.NextEdge(u) != p.nextEdge(u) || c.LastEdge(u) != p.lastEdge(u) {
			t.Fatalf("at %d", u)
		}
	}
	for w := int64(1); w <= c.Total(); w++ {
		if c.First(w) != p.first(w) || c.Last(w) != p.last(w) {
			t.Fatalf("at %d of work", w)
		}
	}
	if c.Total() != 270+120 {
		t.Fatalf("a Saturday of 4.5 h and a Sunday from 01:00 to 04:00 with the hour from 02:00 skipped have %d minutes", c.Total())
	}
}

// FromStretches takes what it is given, however uneven: long gaps, bunches of
// single minutes, overlaps.
func TestStretchesAgainstEveryMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var open, shut []Instant
		p := &plainCalendar{base: 0, works: make([]bool, 6000)}
		at := Instant(rapid.IntRange(0, 50).Draw(t, "first"))
		for _, bunch := range rapid.SliceOfN(rapid.IntRange(1, 60), 0, 5).Draw(t, "bunches") {
			for range bunch {
				length := Instant(rapid.IntRange(0, 3).Draw(t, "length"))
				open, shut = append(open, at), append(shut, at+length)
				for u := at; u < at+length; u++ {
					p.works[u] = true
				}
				at += Instant(rapid.IntRange(0, 4).Draw(t, "gap"))
			}
			at += Instant(rapid.IntRange(0, 800).Draw(t, "long gap"))
		}
		compare(t, FromStretches(open, shut), p)
	})
}

func TestContinuousIsTheIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := Instant(rapid.Int64Range(-1<<30, 1<<30).Draw(t, "instant"))
		c := Continuous()
		if c.Work(u) != int64(u) || c.First(int64(u)) != u || c.Last(int64(u)) != u || c.NextOpen(u) != u || c.NextEdge(u) != u || c.LastEdge(u) != u || !c.IsContinuous() {
			t.Fatalf("at %d", u)
		}
	})
}

func TestSpanRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Span{Amount: int32(rapid.IntRange(0, MaxAmount).Draw(t, "amount")), Unit: Unit(rapid.IntRange(0, int(ElapsedWeeks)).Draw(t, "unit"))}
		back, err := ParseSpan(s.String())
		if err != nil || back != s {
			t.Fatalf("%v came back as %v, %v", s, back, err)
		}
	})
}

func TestWhenRoundTrip(t *testing.T) {
	first, last := NewDate(1, time.January, 1), NewDate(9999, time.December, 31)
	rapid.Check(t, func(t *rapid.T) {
		w := When{Day: Date(rapid.Int32Range(int32(first), int32(last)).Draw(t, "day"))}
		if rapid.Bool().Draw(t, "with time") {
			c := Clock(rapid.IntRange(0, 24*60).Draw(t, "clock"))
			w.Time = &c
		}
		back, err := ParseWhen(w.String())
		if err != nil || back.Day != w.Day || back.String() != w.String() {
			t.Fatalf("%v came back as %v, %v", w, back, err)
		}
	})
}
