package alert_test

import (
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// windowOrder is an order that is needed on Mon 20 July, must come by Fri 31 July for
// the due days, and would have to be placed on Fri 29 May.
func windowOrder(state scheduler.State, delivery string) (*scene, *scheduler.PlannedOrder) {
	s := newScene()
	s.job.Orders = []scheduler.Order{{
		ID: "win", Title: "Windows", Supplier: "windows", Receives: "framing", StandIn: "sheeted openings",
		Stages: []scheduler.Stage{{ID: "making", Title: "Made", Takes: days(20)}},
	}}
	s.hold("frozen", scheduler.Decision, scheduler.Ready, "2026-05-18 08:00")
	s.wait(finish("frozen"), start("win.making"), scheduler.Sense)
	s.wait(finish("win.delivery"), start("set"), scheduler.Access)
	s.task("set", "windows", "north", scheduler.Waiting, "2026-07-20 08:00", "2026-07-20 16:00")
	s.planned(scheduler.PlannedStep{ID: "win.making", Kind: scheduler.StageStep, State: state}, "2026-05-18 08:00", delivery)
	s.planned(scheduler.PlannedStep{ID: "win.delivery", Kind: scheduler.HoldStep, State: scheduler.Waiting}, delivery, delivery)
	s.plan.Orders = []scheduler.PlannedOrder{{
		ID: "win", Title: "Windows", Supplier: "windows", State: state, Stages: ids{"win.making", "win.delivery"}, FirstUse: "set",
		Delivery: at(delivery), NeedBy: at("2026-07-20 08:00"), LatestBy: at("2026-07-31 16:00"),
		StandIn: "sheeted openings", OrderBy: at("2026-05-29 08:00"), LatestOrder: at("2026-06-11 08:00"), Margin: 480,
	}}
	return s, &s.plan.Orders[0]
}

func TestLateOrder(t *testing.T) {
	t.Run("soon, with a decision open", func(t *testing.T) {
		s, _ := windowOrder(scheduler.Waiting, "2026-07-16 16:00")
		found := s.expect(t, scheduler.LateOrder, told{
			"late order: win", scheduler.Act,
			"“Windows” must be ordered by Fri 29 May to come by Mon 20 Jul, when it is needed; before it “The frozen” (Kim Example) is still open.",
		})
		if a := found[0]; a.People[0] != "kim" || a.Trades[0] != "windows" || !strings.Contains(a.Remedy, "sheeted openings") {
			t.Errorf("names kim, windows and the stand-in: %+v", a)
		}
	})
	t.Run("soon, nothing open", func(t *testing.T) {
		s, _ := windowOrder(scheduler.Ready, "2026-07-16 16:00")
		s.step("frozen").State = scheduler.Complete
		s.expect(t, scheduler.LateOrder, told{
			"late order: win", scheduler.Act,
			"“Windows” must be ordered by Fri 29 May to come by Mon 20 Jul, when it is needed.",
		})
	})
	t.Run("order-by day past", func(t *testing.T) {
		s, o := windowOrder(scheduler.Ready, "2026-07-20 08:00")
		s.step("frozen").State = scheduler.Complete
		o.OrderBy = at("2026-05-15 08:00")
		s.expect(t, scheduler.LateOrder, told{
			"late order: win", scheduler.Act,
			"“Windows” should have been ordered by Fri 15 May; ordered now, it comes on Mon 20 Jul and what needs it waits.",
		})
	})
	t.Run("placed and after its need", func(t *testing.T) {
		s, o := windowOrder(scheduler.Underway, "2026-07-22 08:00")
		o.Margin = -2 * 480
		s.expect(t, scheduler.LateOrder, told{
			"late order: win", scheduler.Act,
			"“Windows” comes on Wed 22 Jul, 2 working days after it is needed on Mon 20 Jul.",
		})
	})
	t.Run("too late for the due days", func(t *testing.T) {
		s, o := windowOrder(scheduler.Underway, "2026-08-06 16:00")
		s.expect(t, scheduler.LateOrder, told{
			"late order: win, grave", scheduler.Grave,
			"“Windows” comes on Thu 6 Aug, 4 working days after Fri 31 Jul, the last day on which the due days hold.",
		})
		o.State, o.LatestOrder = scheduler.Ready, at("2026-05-14 08:00")
		s.step("frozen").State = scheduler.Complete
		s.expect(t, scheduler.LateOrder, told{
			"late order: win, grave", scheduler.Grave,
			"“Windows” should have been ordered by Thu 14 May for the due days to hold; as planned it comes on Thu 6 Aug, 4 working days too late.",
		})
	})
	t.Run("far off, placed in time, or delivered", func(t *testing.T) {
		s, o := windowOrder(scheduler.Ready, "2026-07-16 16:00")
		o.OrderBy = at("2026-06-01 08:01") // 10 working days ahead ends at the close of Fri 29 May
		s.expect(t, scheduler.LateOrder)
		s, _ = windowOrder(scheduler.Underway, "2026-07-16 16:00")
		s.expect(t, scheduler.LateOrder)
		s, o = windowOrder(scheduler.Complete, "2026-08-06 16:00")
		o.Margin = -480
		s.expect(t, scheduler.LateOrder)
	})
}

func TestEarlyDelivery(t *testing.T) {
	t.Run("sits too long", func(t *testing.T) {
		s, _ := windowOrder(scheduler.Underway, "2026-07-03 16:00")
		s.task("tape", "windows", "north", scheduler.Waiting, "2026-07-13 08:00", "2026-07-17 16:00")
		s.step("set").Drivers = []scheduler.Driver{{Kind: scheduler.ByWait, Step: "tape"}}
		found := s.expect(t, scheduler.EarlyDelivery)
		if len(found) != 0 { // ten working days exactly are allowed
			t.Fail()
		}
		s.job.Orders[0].Keep = days(5)
		s.expect(t, scheduler.EarlyDelivery, told{
			"early delivery: win", scheduler.Act,
			"“Windows” comes on Fri 3 Jul and sits for 10 working days until “The set” on Mon 20 Jul; 5 days is the most; it is not ready before “The tape”.",
		})
	})
	t.Run("not placed yet", func(t *testing.T) {
		s, _ := windowOrder(scheduler.Ready, "2026-07-02 16:00")
		found := s.expect(t, scheduler.EarlyDelivery, told{
			"early delivery: win", scheduler.Note,
			"“Windows” comes on Thu 2 Jul and sits for 11 working days until “The set” on Mon 20 Jul; 10 days is the most.",
		})
		if !strings.Contains(found[0].Remedy, "Fri 3 Jul or later") {
			t.Errorf("remedy %q", found[0].Remedy)
		}
	})
	t.Run("elapsed keep", func(t *testing.T) {
		s, _ := windowOrder(scheduler.Ready, "2026-07-15 16:00")
		s.job.Orders[0].Keep = worktime.Span{Amount: 4, Unit: worktime.ElapsedDays}
		s.expect(t, scheduler.EarlyDelivery, told{
			"early delivery: win", scheduler.Note,
			"“Windows” comes on Wed 15 Jul and sits for 5 days until “The set” on Mon 20 Jul; 4 elapsed days is the most.",
		})
	})
	t.Run("a hold point of kind delivery", func(t *testing.T) {
		s := newScene()
		s.hold("boards", scheduler.Delivery, scheduler.Complete, "2026-05-11 08:00")
		s.task("clad", "framing", "north", scheduler.Waiting, "2026-06-15 08:00", "2026-06-15 16:00")
		s.wait(finish("boards"), start("clad"), scheduler.Access)
		s.expect(t, scheduler.EarlyDelivery, told{
			"early delivery: boards", scheduler.Note,
			"“The boards” came on Mon 11 May and sits for 25 working days until “The clad” on Mon 15 Jun; 10 days is the most.",
		})
		s.step("clad").State = scheduler.Underway
		s.expect(t, scheduler.EarlyDelivery)
	})
}
