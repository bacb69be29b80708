package compare

import (
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// endDay is the civil day by whose end a time is reached: midnight belongs to the day
// before.
func endDay(t time.Time) worktime.Date { return worktime.DateOf(t.Add(-time.Minute)) }

// pairs goes through the things of both plans: each of the earlier one with its like
// in the later one or nil, then those that only the later one has, with nil before.
func pairs[T any](before, after []T, id func(*T) scheduler.ID, do func(was, is *T)) {
	now := make(map[scheduler.ID]*T, len(after))
	for k := range after {
		now[id(&after[k])] = &after[k]
	}
	seen := make(map[scheduler.ID]bool, len(before))
	for k := range before {
		seen[id(&before[k])] = true
		do(&before[k], now[id(&before[k])])
	}
	for k := range after {
		if !seen[id(&after[k])] {
			do(nil, &after[k])
		}
	}
}

func dues(before, after []scheduler.PlannedDue) []DueMove {
	out := make([]DueMove, 0)
	pairs(before, after, func(d *scheduler.PlannedDue) scheduler.ID { return d.ID }, func(was, is *scheduler.PlannedDue) {
		if was == nil || is == nil {
			return // somebody has set or dropped it; nothing moved
		}
		if day := dayOf(endDay(was.Planned), endDay(is.Planned)); day.Later != 0 {
			out = append(out, DueMove{ID: is.ID, Title: is.Title, By: endDay(is.By), WasMissed: was.Missed, Missed: is.Missed, DayMove: day})
		}
	})
	return out
}

// holds are the hold points that moved, but for deliveries of orders.
func holds(before, after []scheduler.PlannedHold, plan *scheduler.Plan) []HoldMove {
	ofOrder := make(map[scheduler.ID]bool)
	for k := range plan.Steps {
		if s := &plan.Steps[k]; s.Order != "" {
			ofOrder[s.ID] = true
		}
	}
	out := make([]HoldMove, 0)
	pairs(before, after, func(h *scheduler.PlannedHold) scheduler.ID { return h.ID }, func(was, is *scheduler.PlannedHold) {
		var h HoldMove
		switch {
		case is == nil:
			if was.State == scheduler.Complete || was.Kind == scheduler.Delivery {
				return
			}
			h = HoldMove{ID: was.ID, Title: was.Title, Kind: was.Kind, By: was.By, Change: Gone, Was: civil(was.Planned)}
		case is.State == scheduler.Complete || ofOrder[is.ID]:
			return
		default:
			h = HoldMove{ID: is.ID, Title: is.Title, Kind: is.Kind, By: is.By, Change: New, Is: civil(is.Planned)}
			if was != nil {
				h.Change, h.Was = Moved, civil(was.Planned)
				if *h.Was == *h.Is && was.By == is.By {
					return
				}
			}
		}
		out = append(out, h)
	})
	return out
}

func civil(t time.Time) *worktime.Date {
	d := worktime.DateOf(t)
	return &d
}

func orders(before, after []scheduler.PlannedOrder) []OrderMove {
	out := make([]OrderMove, 0)
	pairs(before, after, func(o *scheduler.PlannedOrder) scheduler.ID { return o.ID }, func(was, is *scheduler.PlannedOrder) {
		var o OrderMove
		switch {
		case is == nil:
			if was.State == scheduler.Complete {
				return
			}
			o = OrderMove{ID: was.ID, Title: was.Title, Supplier: was.Supplier, Change: Gone, OrderWas: civil(was.Planned), DeliveryWas: civil(was.Delivery)}
		case is.State == scheduler.Complete:
			return
		default:
			o = OrderMove{
				ID: is.ID, Title: is.Title, Supplier: is.Supplier, Change: New, Placed: is.State == scheduler.Underway,
				OrderIs: civil(is.Planned), DeliveryIs: civil(is.Delivery),
			}
			if was != nil {
				o.Change, o.OrderWas, o.DeliveryWas = Moved, civil(was.Planned), civil(was.Delivery)
				if *o.DeliveryWas == *o.DeliveryIs && (o.Placed || *o.OrderWas == *o.OrderIs) {
					return
				}
			}
		}
		out = append(out, o)
	})
	return out
}
