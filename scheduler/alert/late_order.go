package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// lateOrders: an order that is not delivered and
//   - comes after the last day on which the due days hold: grave;
//   - comes after the day on which it is first needed, or is not placed and its
//     order-by day has passed or falls within 10 working days: act.
func (v *view) lateOrders() {
	for k := range v.plan.Orders {
		o := &v.plan.Orders[k]
		if o.State == scheduler.Complete {
			continue
		}
		if a, ok := v.lateOrder(o); ok {
			v.add(a)
		}
	}
}

func (v *view) lateOrder(o *scheduler.PlannedOrder) (scheduler.Alert, bool) {
	placed := o.State == scheduler.Underway
	a := scheduler.Alert{
		Key: key(scheduler.LateOrder, o.ID), Kind: scheduler.LateOrder, Severity: scheduler.Act,
		Steps: o.Stages, Trades: v.firm(o.Supplier), People: v.person(o.Supplier),
		Days: []worktime.Date{v.lastDate(o.OrderBy), v.date(o.Delivery)},
	}
	if placed {
		a.Days = a.Days[1:]
	}
	open := v.openHoldsBefore(o)
	for _, id := range open {
		n, _ := v.net.Find(id)
		a.People = append(a.People, v.person(v.net.Steps[n].By)...)
	}
	switch {
	case o.Delivery.After(o.LatestBy):
		v.tooLateForDues(&a, o, placed)
	case !placed && v.lastDate(o.OrderBy) < v.today:
		a.Sentence = fmt.Sprintf("%s should have been ordered by %s; ordered now, it comes on %s and what needs it waits.",
			quote(o.Title), v.by(o.OrderBy), v.onTime(o.Delivery))
	case o.Margin < 0:
		a.Sentence = fmt.Sprintf("%s comes on %s, %s after it is needed on %s.",
			quote(o.Title), v.onTime(o.Delivery), v.amount(o.Margin), v.by(o.NeedBy))
	case !placed && !o.OrderBy.After(v.ahead(orderAhead)):
		a.Sentence = fmt.Sprintf("%s must be ordered by %s to come by %s, when it is needed.",
			quote(o.Title), v.by(o.OrderBy), v.by(o.NeedBy))
	default:
		return a, false
	}
	a.Remedy = v.hurryOrder(o, placed, open)
	if len(open) > 0 && !placed {
		a.Sentence = a.Sentence[:len(a.Sentence)-1] + "; before it " + v.stillOpen(open) + "."
	}
	return a, true
}

func (v *view) tooLateForDues(a *scheduler.Alert, o *scheduler.PlannedOrder, placed bool) {
	a.Severity, a.Key = scheduler.Grave, graver(a.Key)
	late := v.amount(v.between(o.LatestBy, o.Delivery, false))
	if !placed && v.lastDate(o.LatestOrder) < v.today {
		a.Sentence = fmt.Sprintf("%s should have been ordered by %s for the due days to hold; as planned it comes on %s, %s too late.",
			quote(o.Title), v.by(o.LatestOrder), v.onTime(o.Delivery), late)
		return
	}
	a.Sentence = fmt.Sprintf("%s comes on %s, %s after %s, the last day on which the due days hold.",
		quote(o.Title), v.onTime(o.Delivery), late, v.by(o.LatestBy))
}

// openHoldsBefore is the hold points, not released, that an order's first step
// waits for.
func (v *view) openHoldsBefore(o *scheduler.PlannedOrder) []scheduler.ID {
	order := v.orders[o.ID]
	if order == nil {
		return nil
	}
	first, ok := v.net.Find(order.FirstStep())
	if !ok {
		return nil
	}
	var open []scheduler.ID
	for _, w := range v.into.at(first) {
		from := v.net.Waits[w].From.Step
		s := v.step(from)
		if v.net.Waived[w] || s == nil || s.Kind != scheduler.HoldStep || done(s) {
			continue
		}
		open = append(open, from)
	}
	return unique(open)
}

func (v *view) stillOpen(open []scheduler.ID) string {
	words := make([]string, len(open))
	for k, id := range open {
		n, _ := v.net.Find(id)
		words[k] = v.called(id)
		if who := v.who(v.net.Steps[n].By); who != "" {
			words[k] += " (" + who + ")"
		}
	}
	if len(words) == 1 {
		return words[0] + " is still open"
	}
	return list(words) + " are still open"
}

func (v *view) hurryOrder(o *scheduler.PlannedOrder, placed bool, open []scheduler.ID) string {
	supplier := v.whoOr(o.Supplier, "the supplier")
	var remedy string
	switch {
	case placed:
		remedy = "Ask " + supplier + " for an earlier day, or for the part that is needed first."
	case len(open) > 0:
		remedy = "Get the release first, then order; ask " + supplier + " to hold a place in the queue."
	default:
		remedy = "Order it from " + supplier + " now."
	}
	if o.StandIn != "" {
		remedy += " Until it comes: " + o.StandIn + "."
	}
	return remedy
}
