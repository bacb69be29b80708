package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// cannotCome: a trade has said that it cannot come in a window on some days, those
// are days off of it still, and the last of them is not past. Act where it was
// promised the place on one of these days, where the work in question is still to
// come and begins within 20 working days, or where the days themselves begin within
// 20 working days; else note. Several answers about one window are one alert. When
// the owner takes the days off away, the matter is settled.
func (v *view) cannotCome() {
	type about struct{ trade, place, first scheduler.ID }
	at := map[about]int{} // in v.alerts
	for k := range v.job.Answers {
		a := &v.job.Answers[k]
		first, last, ok := v.job.DaysOff(a)
		if !ok || last < v.today || len(a.Steps) == 0 {
			continue
		}
		is := about{a.Trade, a.Place, a.Steps[0]}
		if n, told := at[is]; told {
			v.addDays(&v.alerts[n], a, first, last)
			continue
		}
		at[is] = len(v.alerts)
		v.add(v.absence(a, first, last))
	}
}

func (v *view) absence(a *scheduler.Answer, first, last worktime.Date) scheduler.Alert {
	s := scheduler.StandingOf(v.step, a.Trade, a.Place, a.Steps)
	out := scheduler.Alert{
		Key: key(scheduler.CannotCome, a.Trade, a.Place, a.Steps[0]), Kind: scheduler.CannotCome, Severity: scheduler.Note,
		Steps: a.Steps, Places: []scheduler.ID{a.Place}, Trades: []scheduler.ID{a.Trade}, People: v.job.PeopleOf(a.Trade),
		Days: []worktime.Date{first, last},
	}
	if v.absenceMatters(a, s, first, last) {
		out.Severity = scheduler.Act
	}
	out.Sentence = fmt.Sprintf("%s cannot come to %s %s", v.trade(a.Trade), v.place(a.Place), v.stretch(first, last))
	if a.Note != "" {
		out.Sentence += ", in its words: " + quote(oneLine(a.Note))
	}
	switch {
	case s.Gone || s.Over:
		out.Sentence += "."
	case s.Begun:
		out.Sentence += "; its work there is planned until " + v.on(s.Until) + "."
	default:
		out.Sentence += "; its work there is now planned " + v.stretch(s.From, s.Until) + "."
	}
	out.Remedy = fmt.Sprintf("Look whether the plan holds with these days off; else ring %s and agree on other days.", v.toTell(a.Trade))
	return out
}

func (v *view) absenceMatters(a *scheduler.Answer, s scheduler.Standing, first, last worktime.Date) bool {
	for k := range v.job.Promises {
		p := &v.job.Promises[k]
		if p.Trade == a.Trade && p.From <= last && first <= p.Until {
			return true
		}
	}
	ahead := !s.Gone && !s.Over
	return v.comesBy(first, lookAhead) || (ahead && v.comesBy(s.From, lookAhead))
}

// addDays adds another answer about the same window to the alert of the first.
func (v *view) addDays(out *scheduler.Alert, a *scheduler.Answer, first, last worktime.Date) {
	out.Days = append(out.Days, first, last)
	out.Sentence += fmt.Sprintf(" Nor %s.", v.stretch(first, last))
	if v.absenceMatters(a, scheduler.StandingOf(v.step, a.Trade, a.Place, a.Steps), first, last) {
		out.Severity = scheduler.Act
	}
}
