package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// lateHolds: a hold point, not released, other than an order's delivery (late
// orders are told apart). Once it can be acted on, that is when it is ready or
// refused, or planned within 10 working days:
//   - it can be released only after the last day on which the due days hold: grave;
//   - it was refused, or comes after it is needed, or it is ready (and needs no
//     notice) and others need it within 5 working days: act.
func (v *view) lateHolds() {
	for k := range v.plan.Holds {
		h := &v.plan.Holds[k]
		n, ok := v.net.Find(h.ID)
		if !ok || h.State == scheduler.Complete || v.net.Steps[n].Order != "" {
			continue
		}
		near := h.State == scheduler.Ready || h.State == scheduler.Refused || !h.Planned.After(v.ahead(holdAhead))
		if !near {
			continue
		}
		if a, ok := v.lateHold(h, &v.net.Steps[n]); ok {
			v.add(a)
		}
	}
}

func (v *view) lateHold(h *scheduler.PlannedHold, s *scheduler.Step) (scheduler.Alert, bool) {
	a := scheduler.Alert{
		Key: key(scheduler.LateHold, h.ID), Kind: scheduler.LateHold, Severity: scheduler.Act,
		Steps: []scheduler.ID{h.ID}, Places: h.Places, People: v.person(h.By),
		Trades: unique(append(v.firm(h.By), s.Trades...)), Days: []worktime.Date{v.lastDate(h.NeedBy)},
		Remedy: cautioned(fmt.Sprintf("Ask %s what is still missing, and get it there.", v.whoOr(h.By, "whoever is to release it")), v.step(h.ID)),
	}
	holdsUp := v.holdsUp(h)
	switch {
	case h.Planned.After(h.LatestBy):
		a.Severity, a.Key = scheduler.Grave, graver(a.Key)
		a.Days = []worktime.Date{v.lastDate(h.LatestBy), v.date(h.Planned)}
		a.Sentence = fmt.Sprintf("%s can be released on %s, %s after %s, the last day on which the due days hold.",
			quote(h.Title), v.onTime(h.Planned), v.amount(v.between(h.LatestBy, h.Planned, false)), v.by(h.LatestBy))
	case h.State == scheduler.Refused && !v.measuredOff(h.ID):
		a.Sentence = fmt.Sprintf("%s was refused%s%s.", quote(h.Title), v.refusedOn(h.ID), holdsUp)
		a.Remedy = cautioned(fmt.Sprintf("Put right what was found, then ask %s to come again.", v.whoOr(h.By, "whoever releases it")), v.step(h.ID))
	case h.Margin < 0:
		a.Sentence = fmt.Sprintf("%s can be released on %s, %s after it is needed on %s%s.",
			quote(h.Title), v.onTime(h.Planned), v.amount(h.Margin), v.by(h.NeedBy), holdsUp)
	case h.State == scheduler.Ready && s.Notice.Zero() && !h.NeedBy.After(v.ahead(releaseAhead)):
		a.Sentence = fmt.Sprintf("%s is ready and not released; it is needed by %s%s.", quote(h.Title), v.by(h.NeedBy), holdsUp)
	default:
		return a, false
	}
	return a, true
}

func (v *view) holdsUp(h *scheduler.PlannedHold) string {
	if len(h.Holds) == 0 {
		return ""
	}
	words := make([]string, len(h.Holds))
	for k, id := range h.Holds {
		words[k] = v.called(id)
	}
	return " and holds up " + some(words, 2)
}

func (v *view) refusedOn(id scheduler.ID) string {
	f := v.facts[id]
	if f == nil || f.Refused == nil {
		return ""
	}
	on := " on " + v.on(f.Refused.Day)
	if f.Note != "" {
		on += " (" + f.Note + ")"
	}
	return on
}
