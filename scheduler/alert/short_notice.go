package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// shortNotices: the day by which a trade had to be told of a visit has passed and
// the visit is still to come: act. A trade without a notice, or already at work in
// that window, gives none.
func (v *view) shortNotices() {
	for k := range v.plan.Windows {
		w := &v.plan.Windows[k]
		t := v.trades[w.Trade]
		if t == nil || t.Notice.Zero() || w.From.Before(v.asOf) || v.lastDate(w.TellBy) >= v.today || v.anyStarted(w.Steps) {
			continue
		}
		ids := []scheduler.ID{w.Trade, w.Place}
		if len(w.Steps) > 0 {
			ids = append(ids, w.Steps[0])
		}
		v.add(scheduler.Alert{
			Key: key(scheduler.ShortNotice, ids...), Kind: scheduler.ShortNotice, Severity: scheduler.Act,
			Steps: w.Steps, Places: []scheduler.ID{w.Place}, Trades: []scheduler.ID{w.Trade},
			Days: []worktime.Date{v.lastDate(w.TellBy), v.date(w.From)},
			Sentence: fmt.Sprintf("%s is planned in %s from %s, and needs %s notice: that day was %s.",
				v.trade(w.Trade), v.place(w.Place), v.onTime(w.From), t.Notice, v.by(w.TellBy)),
			Remedy: "Ring the firm today and ask whether it can come all the same; if not, write its earliest day as a pin.",
		})
	}
}

func (v *view) anyStarted(steps []scheduler.ID) bool {
	for _, id := range steps {
		if s := v.step(id); s != nil && started(s) {
			return true
		}
	}
	return false
}
