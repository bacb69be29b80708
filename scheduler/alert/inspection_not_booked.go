package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// notBooked: a visit that needs notice (an inspection, test, measure, mock-up or
// approval), neither released nor booked, and the day for telling has passed or
// falls within 5 working days: act. A visit that was booked for a day gone by, with
// nothing recorded since, counts as not booked.
func (v *view) notBooked() {
	for k := range v.plan.Holds {
		h := &v.plan.Holds[k]
		n, ok := v.net.Find(h.ID)
		if !ok || h.State == scheduler.Complete || h.Kind == scheduler.Delivery || h.Kind == scheduler.Decision {
			continue
		}
		s := &v.net.Steps[n]
		if s.Notice.Zero() {
			continue
		}
		booked, past := v.booking(h.ID)
		if booked && !past {
			continue
		}
		if a, ok := v.unbooked(h, s, past); ok {
			v.add(a)
		}
	}
}

// booking says whether a visit was booked, and whether that was for a day gone by
// or before a refusal.
func (v *view) booking(id scheduler.ID) (booked, past bool) {
	f := v.facts[id]
	if f == nil || f.Booked == nil {
		return false, false
	}
	refused := f.Refused != nil && f.Refused.Day >= f.Booked.Day
	return true, refused || f.Booked.Day < v.today
}

func (v *view) unbooked(h *scheduler.PlannedHold, s *scheduler.Step, past bool) (scheduler.Alert, bool) {
	a := scheduler.Alert{
		Key: key(scheduler.InspectionNotBooked, h.ID), Kind: scheduler.InspectionNotBooked, Severity: scheduler.Act,
		Steps: []scheduler.ID{h.ID}, Places: h.Places, People: v.person(h.By), Trades: v.firm(h.By),
		Remedy: fmt.Sprintf("Ask %s for %s or the day after, and record the booking.", v.whoOr(h.By, "whoever is to come"), v.onTime(h.Planned)),
	}
	f := v.facts[h.ID]
	switch {
	case past && f.Refused == nil:
		a.Days = []worktime.Date{f.Booked.Day, v.date(h.Planned)}
		a.Sentence = fmt.Sprintf("%s was booked for %s, and neither release nor refusal is recorded.", quote(h.Title), v.on(f.Booked.Day))
		a.Remedy = "Record what came of the visit, or book another."
	case h.TellBy == nil || h.TellBy.After(v.ahead(bookAhead)):
		return a, false
	case v.lastDate(*h.TellBy) < v.today:
		a.Days = []worktime.Date{v.lastDate(*h.TellBy), v.date(h.Planned)}
		a.Sentence = fmt.Sprintf("%s is planned for %s and not booked; it needs %s notice, which should have been given by %s.",
			quote(h.Title), v.onTime(h.Planned), s.Notice, v.by(*h.TellBy))
	default:
		a.Days = []worktime.Date{v.lastDate(*h.TellBy), v.date(h.Planned)}
		a.Sentence = fmt.Sprintf("%s is planned for %s and not booked; with %s notice it must be booked by %s.",
			quote(h.Title), v.onTime(h.Planned), s.Notice, v.by(*h.TellBy))
	}
	return a, true
}
