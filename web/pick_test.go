package web

import (
	"context"

	"gaugerod/api/office"
	"gaugerod/scheduler"
)

// sheet is the site's sheet, for tests that look things up in the plan.
func (s *site) sheet() *office.Sheet {
	s.t.Helper()
	sheet, err := s.pages.office.Sheet(context.Background(), s.memory.head.ID, nil)
	if err != nil {
		s.t.Fatal(err)
	}
	return sheet
}

// someTrade is the trade with the most windows.
func someTrade(s *site) string {
	n := map[scheduler.ID]int{}
	best := scheduler.ID("")
	for _, w := range s.sheet().Plan.Windows {
		if n[w.Trade]++; n[w.Trade] > n[best] {
			best = w.Trade
		}
	}
	return string(best)
}

// someStep is the last step of the driving chain.
func someStep(s *site) string {
	chain := s.sheet().Plan.Driving
	if len(chain) == 0 {
		s.t.Fatal("the plan has no driving chain")
	}
	return string(chain[len(chain)-1])
}

// someHold is a hold point that can be released now: nothing it needs is missing.
func someHold(s *site) string {
	sheet := s.sheet()
	for _, h := range sheet.Plan.Holds {
		if h.Kind == scheduler.Delivery || h.State == scheduler.Complete || h.By == "" {
			continue
		}
		if step := sheet.Plan.FindStep(h.ID); step.State == scheduler.Ready {
			return string(h.ID)
		}
	}
	s.t.Fatal("no hold point can be released")
	return ""
}

// drivingDelivery is a delivery that drives the finish.
func drivingDelivery(s *site) scheduler.ID {
	sheet := s.sheet()
	for _, id := range sheet.Plan.Driving {
		if step := sheet.Plan.FindStep(id); step.Kind == scheduler.HoldStep && step.Order != "" && step.State != scheduler.Complete {
			return id
		}
	}
	s.t.Fatal("no delivery drives the finish")
	return ""
}
