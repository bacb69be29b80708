package network

import (
	"math/rand/v2"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// TestHoursOverlapLikeCalendars: laid out from the hours that are in both, a calendar
// works when both of them work, over changes of clocks as well; and hours have the same
// key exactly where they are the same.
func TestHoursOverlapLikeCalendars(t *testing.T) {
	from := worktime.NewDate(2026, time.March, 1)
	for _, name := range []string{"Europe/Vienna", "America/Havana", "Australia/Lord_Howe", "America/Santiago"} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		almanac := worktime.NewAlmanac(zone, from, from+300)
		for seed := range uint64(40) {
			rng := rand.New(rand.NewPCG(seed, 26))
			a, b := randomHours(rng, from), randomHours(rng, from)
			both := a.and(&b)
			want := worktime.Overlap(almanac.Calendar(a.week, a.off), almanac.Calendar(b.week, b.off))
			got := almanac.Calendar(both.week, both.off)
			if got.Total() != want.Total() {
				t.Fatalf("%s, seed %d: %d minutes of work, not %d", name, seed, got.Total(), want.Total())
			}
			for w := range want.Total() {
				if got.Last(w) != want.Last(w) {
					t.Fatalf("%s, seed %d: after %d minutes of work it goes on at %d, not at %d", name, seed, w, got.Last(w), want.Last(w))
				}
			}
			if back := b.and(&a); back.key() != both.key() {
				t.Fatalf("%s, seed %d: which of the two is named first matters", name, seed)
			}
			if same := both.and(&a); same.key() != both.key() {
				t.Fatalf("%s, seed %d: hours that are in both already have another key", name, seed)
			}
			if a.key() == b.key() {
				t.Fatalf("%s, seed %d: different hours have one key", name, seed)
			}
		}
	}
}

func randomHours(rng *rand.Rand, from worktime.Date) hours {
	var week worktime.Week
	for day := range week {
		at := worktime.Clock(rng.IntN(600))
		for range rng.IntN(4) {
			end := at + 1 + worktime.Clock(rng.IntN(300))
			week[day] = append(week[day], worktime.Period{From: at, To: min(end, 24*60)})
			at = end + 1 + worktime.Clock(rng.IntN(100))
		}
	}
	var closures []scheduler.Closure
	for range rng.IntN(5) {
		first := from + worktime.Date(rng.IntN(320)-10)
		closures = append(closures, scheduler.Closure{From: first, To: first + worktime.Date(rng.IntN(40)-1)})
	}
	return hoursOf(&week, closures)
}

// TestHoursJoinDaysOff: days off that touch or overlap are one run, however written.
func TestHoursJoinDaysOff(t *testing.T) {
	week := worktime.Week{}
	one := hoursOf(&week, []scheduler.Closure{{From: 10, To: 30}})
	for _, other := range [][]scheduler.Closure{
		{{From: 21, To: 30}, {From: 10, To: 20}},
		{{From: 10, To: 25}, {From: 15, To: 30}, {From: 12, To: 12}},
		{{From: 10, To: 30}, {From: 5, To: 4}},
	} {
		if h := hoursOf(&week, other); h.key() != one.key() {
			t.Errorf("%v: %v", other, h.off)
		}
	}
	if h := hoursOf(&week, []scheduler.Closure{{From: 10, To: 20}, {From: 22, To: 30}}); h.key() == one.key() {
		t.Error("a day between two closures is lost")
	}
}
