package worktime

import "time"

// DateRange is a run of civil days, both ends included.
type DateRange struct{ From, To Date }

// Almanac lays weeks out over a run of civil days in one time zone. The
// midnights are looked up once and shared by all the calendars made from it.
type Almanac struct {
	zone      *time.Location
	from      Date
	midnights []Instant // one for each day and one past the last
	plain     []bool    // the day has no clock change: wall clock and minutes agree
}

// NewAlmanac covers the days from and to, both included; none where to is before from.
func NewAlmanac(zone *time.Location, from, to Date) *Almanac {
	n := max(0, int(to-from)+1)
	a := &Almanac{zone: zone, from: from, midnights: make([]Instant, n+1), plain: make([]bool, n)}
	a.layMidnights()
	for k := range a.plain {
		a.plain[k] = a.midnights[k+1]-a.midnights[k] == 24*60
	}
	return a
}

// layMidnights asks the zone for midnights only near its clock changes. While it keeps
// an offset, a midnight follows 24 hours after the one before.
func (a *Almanac) layMidnights() {
	const day = 24 * 60
	kept := Ever // until when the zone keeps the offset that it has had for days
	for k := range a.midnights {
		if k > 0 && a.midnights[k-1]+day < kept {
			a.midnights[k] = a.midnights[k-1] + day
			continue
		}
		at := (a.from + Date(k)).At(0, a.zone)
		a.midnights[k], kept = at, Ever
		if since, until := offsetKept(at, a.zone); since <= at-2*day {
			kept = until
		}
	}
}

// offsetKept is since when and until when a zone keeps the offset that it has at t.
func offsetKept(t Instant, zone *time.Location) (since, until Instant) {
	start, end := t.Time(zone).ZoneBounds()
	since, until = Ever, Never
	if !start.IsZero() {
		since = FromTime(start)
	}
	if !end.IsZero() {
		until = FromTime(end)
	}
	return since, until
}

// Zone is the time zone of the almanac.
func (a *Almanac) Zone() *time.Location { return a.zone }

// Calendar lays out the week, leaving out the days off, in the civil days of the
// almanac. A period counts from the first moment of the day at which clocks show its
// start to the first at which they show its end: a clock change within it makes it
// longer or shorter.
func (a *Almanac) Calendar(week Week, off []DateRange) *Calendar {
	shut := make([]bool, len(a.plain))
	for _, r := range off {
		for d := max(r.From, a.from); d <= r.To && int(d-a.from) < len(shut); d++ {
			shut[d-a.from] = true
		}
	}
	weekday, periods := int(a.from.Weekday()), 0
	for k := range shut {
		if !shut[k] {
			periods += len(week[(weekday+k)%7])
		}
	}
	c := roomFor(periods)
	for k := range shut {
		if !shut[k] {
			for _, p := range week[weekday] {
				c.add(a.at(k, p.From), a.at(k, p.To))
			}
		}
		weekday = (weekday + 1) % 7
	}
	return c.index()
}

func (a *Almanac) at(day int, clock Clock) Instant {
	if a.plain[day] {
		return a.midnights[day] + Instant(clock)
	}
	return (a.from + Date(day)).At(clock, a.zone)
}
