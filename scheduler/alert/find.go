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
	v.drawingsMissing()

	return v.sorted()
}

// sorted is one alert of each key, the gravest of those that share one, in order.
func (v *view) sorted() []scheduler.Alert {
	type place struct {
		rank     int
		firstDay int64
		at       int32
	}
	order := make([]place, len(v.alerts)) // alerts are large to move about
	for k := range order {
		order[k] = place{rank(v.alerts[k].Severity), firstDay(&v.alerts[k]), int32(k)}
	}
	slices.SortFunc(order, func(x, y place) int {
		if c := cmp.Or(cmp.Compare(x.rank, y.rank), cmp.Compare(x.firstDay, y.firstDay)); c != 0 {
			return c
		}
		if c := strings.Compare(v.alerts[x.at].Key, v.alerts[y.at].Key); c != 0 {
			return c
		}
		return cmp.Compare(x.at, y.at)
	})
	asides := make(map[string]string, len(v.job.Asides))
	for _, a := range v.job.Asides {
		asides[a.Alert] = a.Reason
	}
	seen := make(map[string]bool, len(v.alerts))
	first := order[:0]
	for _, k := range order {
		if key := v.alerts[k.at].Key; !seen[key] {
			seen[key] = true
			first = append(first, k)
		}
	}
	if len(first) == 0 {
		return nil
	}
	out := make([]scheduler.Alert, len(first))
	for k := range out {
		out[k] = v.alerts[first[k].at]
		out[k].Aside = asides[out[k].Key]
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
