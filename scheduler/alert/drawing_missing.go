package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// drawingsMissing: of a drawing no revision has been sent out, and the first work by it is
// planned within 10 working days: act; that work goes on already: grave.
func (v *view) drawingsMissing() {
	for k, next := range scheduler.NewDrawings(v.net).Next(v.plan) {
		d := &v.job.Drawings[k]
		if d.Out() || next == nil {
			continue
		}
		a := scheduler.Alert{
			Key: key(scheduler.DrawingMissing, d.ID), Kind: scheduler.DrawingMissing, Severity: scheduler.Act,
			Steps: []scheduler.ID{next.ID}, Places: next.Places, Trades: next.Trades, Days: []worktime.Date{v.date(next.Start)},
			Sentence: fmt.Sprintf("Of the drawing %s no revision has been sent out; the first work by it is %s, planned for %s.",
				quote(d.Title), v.called(next.ID), v.onTime(next.Start)),
			Remedy: cautioned("Send the drawing out and write its revision down, or put the work off.", next),
		}
		switch {
		case next.State == scheduler.Underway:
			a.Key, a.Severity = graver(a.Key), scheduler.Grave
			a.Sentence = fmt.Sprintf("Of the drawing %s no revision has been sent out, and %s goes on by it since %s.",
				quote(d.Title), v.called(next.ID), v.onTime(next.Start))
			a.Remedy = cautioned("Ask the designer by what they work, and send the drawing out.", next)
		case next.Start.After(v.ahead(drawingAhead)):
			continue
		}
		v.add(a)
	}
}
