package alert

import (
	"fmt"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// earlyDeliveries: a delivery that sits longer than it may (the order's keep; 10
// working days where none is given) before it is first used, because the place or
// the work that takes it in is not ready. Act where the order is placed and not
// delivered, so that somebody must ring the supplier; otherwise note.
func (v *view) earlyDeliveries() {
	for k := range v.plan.Orders {
		o := &v.plan.Orders[k]
		keep := scheduler.UsualKeep()
		delivery := o.ID + "." + scheduler.DeliveryStage
		if order := v.orders[o.ID]; order != nil {
			keep, delivery = order.MaySit(), order.DeliveryStep()
		}
		severity := scheduler.Note
		if o.State == scheduler.Underway {
			severity = scheduler.Act
		}
		v.earlyDelivery(delivery, o.ID, o.Title, keep, severity)
	}
	for k := range v.plan.Holds {
		h := &v.plan.Holds[k]
		n, ok := v.net.Find(h.ID)
		if ok && h.Kind == scheduler.Delivery && v.net.Steps[n].Order == "" {
			v.earlyDelivery(h.ID, h.ID, h.Title, scheduler.UsualKeep(), scheduler.Note)
		}
	}
}

func (v *view) earlyDelivery(delivery, subject scheduler.ID, title string, keep worktime.Span, severity scheduler.Severity) {
	d, use := v.step(delivery), v.firstUse(delivery)
	if d == nil || use == nil || started(use) {
		return
	}
	sits := v.between(d.Finish, use.Start, keep.Elapsed())
	if sits <= v.job.Minutes(keep) {
		return
	}
	comes := "comes"
	if done(d) {
		comes = "came"
	}
	v.add(scheduler.Alert{
		Key: key(scheduler.EarlyDelivery, subject), Kind: scheduler.EarlyDelivery, Severity: severity,
		Steps: []scheduler.ID{delivery, use.ID}, Places: d.Places, Trades: d.Trades,
		Days: []worktime.Date{v.date(d.Finish), v.date(use.Start)},
		Sentence: fmt.Sprintf("%s %s on %s and sits for %s until %s on %s; %s is the most%s.",
			quote(title), comes, v.onTime(d.Finish), v.length(sits, keep.Elapsed()), v.called(use.ID), v.onTime(use.Start),
			keep, v.notReady(use, delivery, d.Finish)),
		Remedy: earlyRemedy(d, v.latestArrival(use.Start, keep)),
	})
}

// firstUse is the step that waits for a delivery and is planned first.
func (v *view) firstUse(delivery scheduler.ID) *scheduler.PlannedStep {
	n, ok := v.net.Find(delivery)
	if !ok {
		return nil
	}
	var first *scheduler.PlannedStep
	for _, w := range v.out.at(n) {
		s := v.step(v.net.Waits[w].To.Step)
		if s != nil && (first == nil || s.Start.Before(first.Start)) {
			first = s
		}
	}
	return first
}

// notReady says what else the first use waits for on the day of the delivery.
func (v *view) notReady(use *scheduler.PlannedStep, delivery scheduler.ID, at time.Time) string {
	var words []string
	for _, d := range use.Drivers {
		s := v.step(d.Step)
		if s != nil && d.Step != delivery && s.Finish.After(at) {
			words = append(words, v.called(d.Step))
		}
	}
	if len(words) == 0 {
		return ""
	}
	return "; it is not ready before " + some(words, 2)
}

// latestArrival is a day on which a delivery would not sit too long: as long
// before its use as it may sit.
func (v *view) latestArrival(use time.Time, keep worktime.Span) string {
	minutes := v.job.Minutes(keep)
	if keep.Elapsed() {
		return v.onTime(use.Add(-time.Duration(minutes) * time.Minute))
	}
	at := v.site.First(v.site.Work(worktime.FromTime(use)) - minutes)
	if !at.Known() {
		return v.onTime(use)
	}
	return v.onTime(at.Time(v.zone))
}

func earlyRemedy(d *scheduler.PlannedStep, from string) string {
	if done(d) {
		return "Keep it dry, locked and out of the way, or bring its use forward."
	}
	return "Have it come on " + from + " or later, or agree with the supplier to store it."
}
