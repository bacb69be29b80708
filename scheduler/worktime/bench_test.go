package worktime_test

import (
	"math/rand/v2"
	"sort"
	"testing"
	"time"

	. "gaugerod/scheduler/worktime"
)

func tenYears(tb testing.TB) (*Almanac, Week, []DateRange) {
	tb.Helper()
	zone := zoneOf(tb, "Europe/Vienna")
	from := NewDate(2026, time.January, 1)
	week := Week{}
	for day := time.Monday; day <= time.Friday; day++ {
		week[day] = []Period{{450, 720}, {750, 960}}
	}
	return NewAlmanac(zone, from, from+3652), week, []DateRange{{from + 90, from + 95}, {from + 400, from + 420}}
}

func BenchmarkAlmanac(b *testing.B) {
	zone := zoneOf(b, "Europe/Vienna")
	from := NewDate(2026, time.January, 1)
	b.ReportAllocs()
	for b.Loop() {
		NewAlmanac(zone, from, from+3652)
	}
}

func BenchmarkCalendar(b *testing.B) {
	almanac, week, off := tenYears(b)
	b.ReportAllocs()
	for b.Loop() {
		almanac.Calendar(week, off)
	}
}

func BenchmarkOverlap(b *testing.B) {
	almanac, week, off := tenYears(b)
	one, other := almanac.Calendar(week, off), almanac.Calendar(week, nil)
	b.ReportAllocs()
	for b.Loop() {
		Overlap(one, other)
	}
}

// The questions a solver asks, at random places of ten years, beside the same
// by halving the whole list.
func BenchmarkAsk(b *testing.B) {
	almanac, week, off := tenYears(b)
	c := almanac.Calendar(week, off)
	from := NewDate(2026, time.January, 1).At(0, almanac.Zone())
	random := rand.New(rand.NewPCG(1, 2))
	var at [4096]Instant
	var work [4096]int64
	for k := range at {
		at[k] = from + Instant(random.Int64N(3652*24*60))
		work[k] = random.Int64N(c.Total()-1) + 1
	}
	var open, before []int64
	for w := int64(0); w < c.Total(); {
		o := c.Last(w)
		open, before = append(open, int64(o)), append(before, w)
		for w < c.Total() && c.Last(w) == o+Instant(w-before[len(before)-1]) {
			w++
		}
	}
	sink := int64(0)
	run := func(name string, ask func(k int) int64) {
		b.Run(name, func(b *testing.B) {
			k := 0
			for b.Loop() {
				sink += ask(k & 4095)
				k++
			}
		})
	}
	run("work", func(k int) int64 { return c.Work(at[k]) })
	run("work by halving", func(k int) int64 {
		i := sort.Search(len(open), func(i int) bool { return open[i] > int64(at[k]) }) - 1
		return before[max(i, 0)]
	})
	run("first", func(k int) int64 { return int64(c.First(work[k])) })
	run("last", func(k int) int64 { return int64(c.Last(work[k])) })
	run("first by halving", func(k int) int64 {
		i := sort.Search(len(before), func(i int) bool { return before[i] >= work[k] }) - 1
		return open[i] + work[k] - before[i]
	})
	run("fit", func(k int) int64 { _, finish := c.Fit(at[k], work[k]&1023+1); return int64(finish) })
	run("fit by", func(k int) int64 { start, _ := c.FitBy(at[k], work[k]&1023+1); return int64(start) })
	run("next open", func(k int) int64 { return int64(c.NextOpen(at[k])) })
	_ = sink
}
