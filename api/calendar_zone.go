package api

import (
	"fmt"
	"time"

	ics "github.com/arran4/golang-ical"
)

// localTime is how a calendar writes a time by the clock of a place.
const localTime = "20060102T150405"

// zoneMargin is how long before the first event and after the last one a calendar tells
// what its zone's clocks do.
const zoneMargin = 366 * 24 * time.Hour

// calendarZone is the zone in which a calendar tells its times, as it stands in it.
type calendarZone struct {
	*time.Location
	told bool // it is written into the calendar; else times are in UTC
}

// addZone writes a zone into a calendar: what its clocks show around a time from first
// to last, change by change (RFC 5545, 3.6.5). UTC needs no telling.
func addZone(cal *ics.Calendar, zone *time.Location, first, last time.Time) calendarZone {
	if zone == time.UTC || zone.String() == "UTC" || first.IsZero() {
		return calendarZone{zone, false}
	}
	tz := cal.AddTimezone(zone.String())
	at := first.Add(-zoneMargin).In(zone)
	_, before := at.Zone()
	tz.Components = append(tz.Components, observance(at, before))
	for end := last.Add(zoneMargin); ; {
		_, next := at.ZoneBounds()
		if next.IsZero() || !next.Before(end) {
			return calendarZone{zone, true}
		}
		tz.Components = append(tz.Components, observance(next.In(zone), before))
		_, before = next.In(zone).Zone()
		at = next.In(zone)
	}
}

// observance is what clocks show from a time on, and how far ahead of UTC they were
// before, in seconds.
func observance(from time.Time, before int) ics.Component {
	name, after := from.Zone()
	c := ics.ComponentBase{}
	c.SetProperty(ics.ComponentPropertyDtStart, from.In(time.FixedZone("", before)).Format(localTime))
	c.SetProperty(ics.ComponentProperty(ics.PropertyTzoffsetfrom), offset(before))
	c.SetProperty(ics.ComponentProperty(ics.PropertyTzoffsetto), offset(after))
	c.SetProperty(ics.ComponentProperty(ics.PropertyTzname), name)
	if from.IsDST() {
		return &ics.Daylight{ComponentBase: c}
	}
	return &ics.Standard{ComponentBase: c}
}

// offset is so many seconds ahead of UTC as a calendar writes them: "+0530".
func offset(seconds int) string {
	sign := '+'
	if seconds < 0 {
		sign, seconds = '-', -seconds
	}
	text := fmt.Sprintf("%c%02d%02d", sign, seconds/3600, seconds/60%60)
	if rest := seconds % 60; rest != 0 {
		text += fmt.Sprintf("%02d", rest)
	}
	return text
}

// set writes a time into an event, by the clock of the zone where that is told. An hour
// that clocks show twice is the first of the two; the second is written in UTC.
func (z calendarZone) set(event *ics.VEvent, p ics.ComponentProperty, t time.Time) {
	local := t.In(z.Location)
	if !z.told || z.shownBefore(local) {
		event.SetProperty(p, t.UTC().Format(localTime+"Z"))
		return
	}
	event.SetProperty(p, local.Format(localTime), ics.WithTZID(z.String()))
}

// shownBefore says whether clocks showed the same some time before.
func (z calendarZone) shownBefore(local time.Time) bool {
	begins, _ := local.ZoneBounds()
	if begins.IsZero() {
		return false
	}
	_, now := local.Zone()
	_, was := begins.Add(-time.Second).In(z.Location).Zone()
	return local.Sub(begins) < time.Duration(was-now)*time.Second
}
