package alert

import (
	"cmp"
	"slices"
	"strings"

	"gaugerod/scheduler"
)

// Find is every alert that a plan of an expanded network gives rise to, the
// gravest first, then by the first day that matters, then by key. Alerts that a
// person has put aside are among them, with the reason. The plan's own list of
// alerts is not looked at.
func Find(net *scheduler.Network, plan *scheduler.Plan) []scheduler.Alert {
	v := newView(net, plan)
	broken := v.brokenWaits()

	v.loops()
	v.lateOrders()
	v.lateHolds()
	v.earlyDeliveries()
	v.coveredUnseen(broken)
	v.outOfOrder(broken)
	v.tooSoon(broken)
	v.openTooLong()
	v.tradesInTwoPlaces()
	v.placesCrowded()
	v.duesMissed()
	v.shortNotices()
	v.notBooked()
	v.looseEnds()
	v.extraVisits()
	v.measuresOff()
	v.promisesBroken()
	v.cannotCome()

	return v.sorted()
}

// sorted is one alert of each key, the gravest of those that share one, in order.
func (v *view) sorted() []scheduler.Alert {
	order := make([]int32, len(v.alerts)) // alerts are large to move about
	for k := range order {
		order[k] = int32(k)
	}
	slices.SortFunc(order, func(x, y int32) int {
		a, b := &v.alerts[x], &v.alerts[y]
		return cmp.Or(
			cmp.Compare(rank(a.Severity), rank(b.Severity)),
			cmp.Compare(firstDay(a), firstDay(b)),
			strings.Compare(a.Key, b.Key),
			cmp.Compare(x, y),
		)
	})
	asides := make(map[string]string, len(v.job.Asides))
	for _, a := range v.job.Asides {
		asides[a.Alert] = a.Reason
	}
	seen := make(map[string]bool, len(v.alerts))
	var out []scheduler.Alert
	for _, k := range order {
		a := v.alerts[k]
		if seen[a.Key] {
			continue
		}
		seen[a.Key] = true
		a.Aside = asides[a.Key]
		out = append(out, a)
	}
	return out
}

func rank(s scheduler.Severity) int { return slices.Index(scheduler.Severities, s) }

// firstDay sorts an alert without days after those with one.
func firstDay(a *scheduler.Alert) int64 {
	if len(a.Days) == 0 {
		return 1 << 40
	}
	return int64(a.Days[0])
}
