package worktime

import (
	"testing"
	"time"
)

// Midnights laid out from one to the next are those that the zone says for each day,
// over two centuries of clock changes: by hours and half hours, at midnight, and
// where a day was left out.
func TestMidnightsAreTheZones(t *testing.T) {
	for _, name := range []string{
		"UTC", "Europe/Vienna", "Australia/Lord_Howe", "America/Havana", "America/Santiago", "Asia/Beirut",
		"Pacific/Apia", "Pacific/Kwajalein", "America/Juneau", "Asia/Manila", "Africa/Casablanca",
	} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		from, to := NewDate(1860, time.January, 1), NewDate(2062, time.January, 1)
		a := NewAlmanac(zone, from, to)
		for k, got := range a.midnights {
			if want := (from + Date(k)).At(0, zone); got != want {
				t.Fatalf("%s: %s begins at %d, want %d", name, from+Date(k), got, want)
			}
		}
	}
}
