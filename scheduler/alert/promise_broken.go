package alert

import (
	"fmt"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// promisesBroken: a window of access that was issued, or that its trade has
// confirmed, has moved: the civil day of its start or end differs in this plan, or
// none of its steps is that trade's there any more. Of a window that has begun only
// a later end counts; what is over gives none.
//
// Grave where the trade may be on its way in vain: the window has not begun, and its
// promised first day has come or comes within 2 working days. Act where the old or
// the new first day, or the end of a begun one, comes within 20 working days or has
// passed, or where the trade has confirmed the window. Else note.
func (v *view) promisesBroken() {
	for k := range v.job.Promises {
		p := &v.job.Promises[k]
		s := scheduler.StandingOf(v.step, p.Trade, p.Place, p.Steps)
		if !s.Moved(p.From, p.Until) || (s.Gone && p.Until < v.today) {
			continue
		}
		v.add(v.brokenPromise(p, s))
	}
}

func (v *view) brokenPromise(p *scheduler.Promise, s scheduler.Standing) scheduler.Alert {
	names := []scheduler.ID{p.Trade, p.Place, p.Steps[0]}
	if p.Letter != "" {
		names = append([]scheduler.ID{scheduler.ID(p.Letter)}, names...)
	}
	a := scheduler.Alert{
		Key: key(scheduler.PromiseBroken, names...), Kind: scheduler.PromiseBroken, Severity: scheduler.Note,
		Steps: p.Steps, Places: []scheduler.ID{p.Place}, Trades: []scheduler.ID{p.Trade}, People: v.job.PeopleOf(p.Trade),
		Days: []worktime.Date{p.From, p.Until},
	}
	near := p.From
	if s.Begun {
		near = p.Until
	}
	if !s.Gone {
		a.Days = append(a.Days, s.From, s.Until)
		near = min(near, s.From)
	}
	switch {
	case !s.Begun && v.comesBy(p.From, promiseGrave):
		a.Key, a.Severity = graver(a.Key), scheduler.Grave
	case v.comesBy(near, lookAhead), p.Confirmed != nil:
		a.Severity = scheduler.Act
	}
	a.Sentence = fmt.Sprintf("%s was promised %s %s (%s), and %s.",
		v.trade(p.Trade), v.place(p.Place), v.stretch(p.From, p.Until), v.agreed(p), v.now(p, s))
	a.Remedy = fmt.Sprintf("Tell %s and agree on the new days; then issue the plan anew, or pin the work to the days that were promised.", v.toTell(p.Trade))
	if s.Gone {
		a.Remedy = fmt.Sprintf("Tell %s that it is not needed there, or give the work back; then issue the plan anew.", v.toTell(p.Trade))
	}
	return a
}

// agreed is what a promise rests on: the letter of the issue, the trade's word.
func (v *view) agreed(p *scheduler.Promise) string {
	switch {
	case p.Confirmed == nil:
		return "issue " + p.Letter
	case p.Letter == "":
		return "confirmed on " + v.on(*p.Confirmed)
	}
	return "issue " + p.Letter + ", confirmed on " + v.on(*p.Confirmed)
}

// now is what the plan makes of a promise.
func (v *view) now(p *scheduler.Promise, s scheduler.Standing) string {
	switch {
	case s.Gone:
		return "has no work there any more"
	case s.Begun:
		return "will be there until " + v.on(s.Until)
	case s.From == p.From:
		return "is now planned there until " + v.on(s.Until)
	}
	return "is now planned there " + v.stretch(s.From, s.Until)
}

// stretch is a run of days as people say it.
func (v *view) stretch(from, until worktime.Date) string {
	if from == until {
		return "on " + v.on(from)
	}
	return "from " + v.on(from) + " to " + v.on(until)
}

// comesBy says whether a day has come or comes within so many working days.
func (v *view) comesBy(day worktime.Date, days int64) bool {
	return !day.At(0, v.zone).Time(time.UTC).After(v.ahead(days))
}

// toTell is a trade and the people of it.
func (v *view) toTell(trade scheduler.ID) string {
	var names []string
	for _, id := range v.job.PeopleOf(trade) {
		names = append(names, v.who(id))
	}
	if len(names) == 0 {
		return v.trade(trade)
	}
	return v.trade(trade) + " (" + list(names) + ")"
}
