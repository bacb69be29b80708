package selfcheck

import (
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// unattendedHolds: a hold point that names nobody to release it, or an inspection
// or test, to which somebody must come, without a notice.
func (s *subject) unattendedHolds() Check {
	var items []Item
	for _, k := range s.open {
		n := &s.net.Steps[k]
		if n.Kind != scheduler.HoldStep {
			continue
		}
		var lacks []string
		if n.By == "" {
			lacks = append(lacks, "no person")
		}
		if visit := n.HoldKind == scheduler.Inspection || n.HoldKind == scheduler.Test; visit && n.Notice.Zero() {
			lacks = append(lacks, "no notice")
		}
		if len(lacks) > 0 {
			items = append(items, s.item(k, "has %s", strings.Join(lacks, " and ")))
		}
	}
	return none(Check{
		Name: "hold points with no person or no notice", Formula: "hold points not released that name nobody, and inspections and tests without a notice",
		Source: commonPractice, Items: items,
	})
}

// ordersPast: an order not placed whose order-by day has passed.
func (s *subject) ordersPast() Check {
	var items []Item
	for k := range s.plan.Orders {
		o := &s.plan.Orders[k]
		if by := s.orderBy(o); !placed(o) && by < s.today {
			items = append(items, Item{Steps: o.Stages, Text: "“" + o.Title + "” should have been ordered by " + by.String()})
		}
	}
	return none(Check{
		Name: "orders past their day", Formula: "orders not placed whose order-by day (for the plan or for the due days) lies before as of",
		Source: commonPractice, Items: items,
	})
}

// ordersSoon: an order not placed whose order-by day is near while a decision or
// another hold point before it is open.
func (s *subject) ordersSoon() Check {
	limit := s.today + 14 // 10 working days of a five-day week
	var items []Item
	for k := range s.plan.Orders {
		o := &s.plan.Orders[k]
		by := s.orderBy(o)
		if placed(o) || by < s.today || by > limit {
			continue
		}
		if open := s.openBefore(o); open != "" {
			items = append(items, Item{Steps: o.Stages, Text: "“" + o.Title + "” must be ordered by " + by.String() + " and waits for " + open})
		}
	}
	return listed(Check{
		Name: "orders soon, with a decision open", Formula: "orders not placed with an order-by day within two weeks and an open hold point before them",
		Source: commonPractice, Items: items,
	})
}

func placed(o *scheduler.PlannedOrder) bool {
	return o.State == scheduler.Underway || o.State == scheduler.Complete
}

// orderBy is the earlier of the two days by which an order should be placed.
func (s *subject) orderBy(o *scheduler.PlannedOrder) worktime.Date {
	by := o.OrderBy
	if o.LatestOrder.Before(by) {
		by = o.LatestOrder
	}
	return worktime.FromTime(by).Date(s.plan.AsOf.Location())
}

// openBefore names the open hold points that an order's first step waits for.
func (s *subject) openBefore(o *scheduler.PlannedOrder) string {
	var words []string
	for i := range s.job.Orders {
		if s.job.Orders[i].ID != o.ID {
			continue
		}
		first, ok := s.net.Find(s.job.Orders[i].FirstStep())
		if !ok {
			break
		}
		for _, w := range s.into[first] {
			k, _ := s.net.Find(s.net.Waits[w].From.Step)
			if p := s.planned[k]; p != nil && p.Kind == scheduler.HoldStep && p.State != scheduler.Complete {
				words = append(words, "“"+s.net.Steps[k].Title+"”")
			}
		}
	}
	return strings.Join(words, ", ")
}
