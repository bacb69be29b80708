package alert_test

import (
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func TestLateHold(t *testing.T) {
	t.Run("too late for the due days", func(t *testing.T) {
		s := newScene()
		h := s.hold("sizes", scheduler.Decision, scheduler.Ready, "2026-05-22 08:00")
		h.LatestBy = at("2026-05-20 16:00")
		s.expect(t, scheduler.LateHold, told{
			"late hold point: sizes, grave", scheduler.Grave,
			"“The sizes” can be released on Fri 22 May, 1 working day after Wed 20 May, the last day on which the due days hold.",
		})
		h.State, h.Planned = scheduler.Waiting, at("2026-06-22 08:00") // nobody can act on it yet
		s.expect(t, scheduler.LateHold)
	})
	t.Run("after it is needed", func(t *testing.T) {
		s := newScene()
		h := s.hold("sizes", scheduler.Decision, scheduler.Ready, "2026-05-22 08:00")
		h.NeedBy, h.Margin, h.Holds = at("2026-05-20 16:00"), -480, ids{"a", "b", "c"}
		s.expect(t, scheduler.LateHold, told{
			"late hold point: sizes", scheduler.Act,
			"“The sizes” can be released on Fri 22 May, 1 working day after it is needed on Wed 20 May and holds up “a”, “b” and 1 more.",
		})
	})
	t.Run("ready and needed soon", func(t *testing.T) {
		s := newScene()
		h := s.hold("sizes", scheduler.Decision, scheduler.Ready, "2026-05-18 08:00")
		h.NeedBy = at("2026-05-22 16:00")
		s.expect(t, scheduler.LateHold, told{
			"late hold point: sizes", scheduler.Act,
			"“The sizes” is ready and not released; it is needed by Fri 22 May.",
		})
		h.NeedBy = at("2026-05-25 09:00") // more than five working days ahead
		s.expect(t, scheduler.LateHold)
		h.NeedBy, h.State = at("2026-05-22 16:00"), scheduler.Complete
		s.expect(t, scheduler.LateHold)
	})
	t.Run("refused", func(t *testing.T) {
		s := newScene()
		s.hold("seen", scheduler.Inspection, scheduler.Refused, "2026-05-20 08:00")
		s.fact(scheduler.Fact{Step: "seen", Refused: when("2026-05-14"), Note: "two straps missing"})
		s.expect(t, scheduler.LateHold, told{
			"late hold point: seen", scheduler.Act,
			"“The seen” was refused on Thu 14 May (two straps missing).",
		})
	})
	t.Run("an order's delivery is left to its order", func(t *testing.T) {
		s, _ := windowOrder(scheduler.Underway, "2026-05-22 16:00")
		s.step("frozen").State, s.plan.Holds[0].State = scheduler.Complete, scheduler.Complete
		s.plan.Holds = append(s.plan.Holds, scheduler.PlannedHold{
			ID: "win.delivery", Title: "Windows delivered", Kind: scheduler.Delivery, State: scheduler.Ready, Planned: at("2026-05-22 16:00"), Margin: -480,
		})
		s.expect(t, scheduler.LateHold)
	})
}

func TestInspectionNotBooked(t *testing.T) {
	noticed := func(tell string) (*scene, *scheduler.PlannedHold) {
		s := newScene()
		h := s.hold("seen", scheduler.Inspection, scheduler.Waiting, "2026-05-27 08:00")
		s.job.Holds[0].Notice = days(2)
		by := at(tell)
		h.TellBy = &by
		return s, h
	}
	t.Run("to be booked soon", func(t *testing.T) {
		s, h := noticed("2026-05-22 16:00")
		s.expect(t, scheduler.InspectionNotBooked, told{
			"inspection not booked: seen", scheduler.Act,
			"“The seen” is planned for Wed 27 May and not booked; with 2 days notice it must be booked by Fri 22 May.",
		})
		later := at("2026-05-25 16:00")
		h.TellBy = &later
		s.expect(t, scheduler.InspectionNotBooked)
	})
	t.Run("too late already", func(t *testing.T) {
		s, _ := noticed("2026-05-15 16:00")
		s.expect(t, scheduler.InspectionNotBooked, told{
			"inspection not booked: seen", scheduler.Act,
			"“The seen” is planned for Wed 27 May and not booked; it needs 2 days notice, which should have been given by Fri 15 May.",
		})
	})
	t.Run("booked", func(t *testing.T) {
		s, _ := noticed("2026-05-15 16:00")
		s.fact(scheduler.Fact{Step: "seen", Booked: when("2026-05-27 09:00")})
		s.expect(t, scheduler.InspectionNotBooked)
	})
	t.Run("booked for a day gone by", func(t *testing.T) {
		s, _ := noticed("2026-05-22 16:00")
		s.fact(scheduler.Fact{Step: "seen", Booked: when("2026-05-14")})
		s.expect(t, scheduler.InspectionNotBooked, told{
			"inspection not booked: seen", scheduler.Act,
			"“The seen” was booked for Thu 14 May, and neither release nor refusal is recorded.",
		})
	})
	t.Run("refused and not booked again", func(t *testing.T) {
		s, _ := noticed("2026-05-22 16:00")
		s.fact(scheduler.Fact{Step: "seen", Booked: when("2026-05-14"), Refused: when("2026-05-14")})
		s.expect(t, scheduler.InspectionNotBooked, told{
			"inspection not booked: seen", scheduler.Act,
			"“The seen” is planned for Wed 27 May and not booked; with 2 days notice it must be booked by Fri 22 May.",
		})
	})
	t.Run("released, no notice, or no visit", func(t *testing.T) {
		s, h := noticed("2026-05-15 16:00")
		h.State = scheduler.Complete
		s.expect(t, scheduler.InspectionNotBooked)
		s, _ = noticed("2026-05-15 16:00")
		s.job.Holds[0].Notice = worktime.Span{}
		s.expect(t, scheduler.InspectionNotBooked)
		s, h = noticed("2026-05-15 16:00")
		h.Kind = scheduler.Decision
		s.expect(t, scheduler.InspectionNotBooked)
	})
}

func TestMeasureOff(t *testing.T) {
	sill := func(mm int) *scene {
		s := newScene()
		s.hold("sill", scheduler.Measure, scheduler.Refused, "2026-05-20 08:00")
		nominal := 900
		s.job.Holds[0].Nominal, s.job.Holds[0].Tolerance = &nominal, 5
		s.fact(scheduler.Fact{Step: "sill", Refused: when("2026-05-14"), Measured: &mm})
		s.task("order", "", "", scheduler.Waiting, "2026-05-21 08:00", "2026-05-21 16:00")
		s.wait(finish("sill"), start("order"), scheduler.Sense)
		return s
	}
	t.Run("over and under", func(t *testing.T) {
		s := sill(908)
		s.expect(t, scheduler.MeasureOff, told{
			"measure out of tolerance: sill", scheduler.Act,
			"“The sill” was found to be 908 mm, 8 mm over the 900 mm it should be; 5 mm is allowed.",
		})
		s.expect(t, scheduler.LateHold) // told once is enough
		sill(894).expect(t, scheduler.MeasureOff, told{
			"measure out of tolerance: sill", scheduler.Act,
			"“The sill” was found to be 894 mm, 6 mm under the 900 mm it should be; 5 mm is allowed.",
		})
	})
	t.Run("within", func(t *testing.T) {
		sill(905).expect(t, scheduler.MeasureOff)
		sill(895).expect(t, scheduler.MeasureOff)
	})
	t.Run("relied upon", func(t *testing.T) {
		s := sill(908)
		s.step("sill").State = scheduler.Complete
		s.step("order").State = scheduler.Underway
		s.expect(t, scheduler.MeasureOff, told{
			"measure out of tolerance: sill, grave", scheduler.Grave,
			"“The sill” was found to be 908 mm, 8 mm over the 900 mm it should be; 5 mm is allowed, and it was released all the same and “The order” has begun.",
		})
	})
}
