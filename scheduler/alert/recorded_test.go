package alert_test

import (
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// taped is a wall whose tape was to be seen and then covered by boards.
func taped(tape, boards scheduler.State) *scene {
	s := newScene()
	s.task("tape", "windows", "north", tape, "2026-05-11 08:00", "2026-05-12 16:00")
	s.hold("seen", scheduler.Inspection, scheduler.Waiting, "2026-05-20 08:00")
	s.task("boards", "framing", "north", boards, "2026-05-14 08:00", "2026-05-29 16:00")
	s.job.BuildUps = []scheduler.BuildUp{{ID: "skin", Title: "Skin", Places: ids{"north"}, Layers: []scheduler.Layer{
		{ID: "tape", Title: "taped joints", By: "tape", Seen: ids{"seen"}}, {ID: "boards", Title: "boards", By: "boards"},
	}}}
	if tape == scheduler.Complete {
		s.fact(scheduler.Fact{Step: "tape", Started: when("2026-05-11 08:00"), Done: when("2026-05-12 16:00")})
	}
	if boards == scheduler.Underway {
		s.fact(scheduler.Fact{Step: "boards", Started: when("2026-05-14 08:00")})
	}
	return s
}

func TestCoveredUnseen(t *testing.T) {
	t.Run("covered", func(t *testing.T) {
		s := taped(scheduler.Complete, scheduler.Underway)
		found := s.expect(t, scheduler.CoveredUnseen, told{
			"covered before release: seen, boards", scheduler.Grave,
			"“The boards” went on over taped joints at North wall on Thu 14 May, and “The seen”, which had to see what it covers, is not released.",
		})
		if found[0].People[0] != "kim" || found[0].Days[0] != day("2026-05-14") {
			t.Errorf("got %+v", found[0])
		}
		s.expect(t, scheduler.OutOfOrder) // told once is enough
	})
	t.Run("released afterwards", func(t *testing.T) {
		s := taped(scheduler.Complete, scheduler.Underway)
		p := s.step("seen")
		p.State, p.Start, p.Finish = scheduler.Complete, at("2026-05-15 10:00"), at("2026-05-15 10:00")
		s.fact(scheduler.Fact{Step: "seen", Released: when("2026-05-15 10:00")})
		s.expect(t, scheduler.CoveredUnseen, told{
			"covered before release: seen, boards", scheduler.Grave,
			"“The boards” went on over taped joints at North wall on Thu 14 May, and “The seen”, which had to see what it covers, was released only on Fri 15 May.",
		})
	})
	t.Run("about to be covered", func(t *testing.T) {
		s := taped(scheduler.Complete, scheduler.Waiting)
		b := s.step("boards")
		b.Start = at("2026-05-21 08:00")
		s.expect(t, scheduler.CoveredUnseen, told{
			"covered before release: soon, seen, boards", scheduler.Act,
			"“The seen” is not released, and “The boards” is to cover taped joints at North wall on Thu 21 May.",
		})
		b.Start = at("2026-05-25 08:00")
		s.expect(t, scheduler.CoveredUnseen)
		b.Start, s.step("seen").State = at("2026-05-21 08:00"), scheduler.Complete
		s.expect(t, scheduler.CoveredUnseen)
	})
	t.Run("waived", func(t *testing.T) {
		s := taped(scheduler.Complete, scheduler.Underway)
		s.job.Waivers = []scheduler.Waiver{{From: finish("seen"), To: start("boards"), Reason: "photographed"}}
		s.expect(t, scheduler.CoveredUnseen)
		s.expect(t, scheduler.OutOfOrder)
	})
	t.Run("a witness who was told", func(t *testing.T) {
		s := taped(scheduler.Complete, scheduler.Underway)
		s.job.Holds[0].Witness = true
		s.expect(t, scheduler.CoveredUnseen, told{
			"covered before release: seen, boards", scheduler.Grave,
			"“The boards” went on over taped joints at North wall on Thu 14 May, and “The seen”, which had to see what it covers, is not released.",
		})
		s.fact(scheduler.Fact{Step: "seen", Booked: when("2026-05-13 09:00")})
		s.expect(t, scheduler.CoveredUnseen)
	})
}

func TestOutOfOrder(t *testing.T) {
	t.Run("what is buried", func(t *testing.T) {
		s := taped(scheduler.Underway, scheduler.Underway)
		s.fact(scheduler.Fact{Step: "tape", Started: when("2026-05-11 08:00")})
		s.expect(t, scheduler.OutOfOrder, told{
			"out of order: tape, boards, grave", scheduler.Grave,
			"“The boards” was started on Thu 14 May, and “The tape”, which should have come first, is not finished, which is now buried with taped joints at North wall.",
		})
		s.step("boards").Cautions = []scheduler.Caution{scheduler.CautionHeight}
		if r := of(scheduler.OutOfOrder, s.find(t))[0].Remedy; !strings.Contains(r, "caution (height)") || !strings.Contains(r, "licensed") {
			t.Errorf("the remedy must defer: %q", r)
		}
	})
	before := func(from, to scheduler.State, fact ...scheduler.Fact) *scene {
		s := newScene()
		s.task("dig", "framing", "garden", from, "2026-05-15 08:00", "2026-05-15 16:00")
		s.task("pour", "windows", "garden", to, "2026-05-14 08:00", "2026-05-14 16:00")
		s.wait(finish("dig"), start("pour"), scheduler.Access)
		s.job.Facts = fact
		return s
	}
	t.Run("not begun", func(t *testing.T) {
		s := before(scheduler.Ready, scheduler.Complete, scheduler.Fact{Step: "pour", Started: when("2026-05-14"), Done: when("2026-05-14")})
		s.expect(t, scheduler.OutOfOrder, told{
			"out of order: dig, pour", scheduler.Act,
			"“The pour” was started on Thu 14 May, and “The dig”, which should have come first, is not begun.",
		})
	})
	t.Run("done since", func(t *testing.T) {
		s := before(scheduler.Complete, scheduler.Complete,
			scheduler.Fact{Step: "pour", Started: when("2026-05-14"), Done: when("2026-05-14")}, scheduler.Fact{Step: "dig", Done: when("2026-05-15 16:00")})
		s.expect(t, scheduler.OutOfOrder, told{
			"out of order: dig, pour", scheduler.Note,
			"“The pour” was started on Thu 14 May, and “The dig”, which should have come first, was done only on Fri 15 May.",
		})
	})
	t.Run("on one day, by the clock", func(t *testing.T) {
		s := before(scheduler.Complete, scheduler.Complete,
			scheduler.Fact{Step: "pour", Started: when("2026-05-15 09:00"), Done: when("2026-05-15 15:00")}, scheduler.Fact{Step: "dig", Done: when("2026-05-15 16:00")})
		s.step("pour").Start = at("2026-05-15 09:00")
		s.expect(t, scheduler.OutOfOrder, told{
			"out of order: dig, pour", scheduler.Note,
			"“The pour” was started on Fri 15 May at 09:00, and “The dig”, which should have come first, was done only on Fri 15 May at 16:00.",
		})
	})
	t.Run("days alone leave it open", func(t *testing.T) {
		s := before(scheduler.Complete, scheduler.Complete,
			scheduler.Fact{Step: "pour", Started: when("2026-05-15"), Done: when("2026-05-15")}, scheduler.Fact{Step: "dig", Done: when("2026-05-15")})
		p := s.step("pour")
		p.Start, p.Finish = at("2026-05-15 08:00"), at("2026-05-15 16:00")
		s.expect(t, scheduler.OutOfOrder)
	})
	t.Run("only done was written, so the start is open", func(t *testing.T) {
		s := before(scheduler.Complete, scheduler.Complete,
			scheduler.Fact{Step: "pour", Done: when("2026-05-18 10:00")}, scheduler.Fact{Step: "dig", Done: when("2026-05-15 16:00")})
		p := s.step("pour")
		p.Start, p.Finish = at("2026-05-15 10:00"), at("2026-05-18 10:00")
		s.expect(t, scheduler.OutOfOrder)
	})
	t.Run("in order", func(t *testing.T) {
		before(scheduler.Ready, scheduler.Waiting).expect(t, scheduler.OutOfOrder)
	})
	t.Run("finish to finish, and hold points in words", func(t *testing.T) {
		s := newScene()
		s.hold("rough", scheduler.Inspection, scheduler.Refused, "2026-05-20 08:00")
		s.hold("frame", scheduler.Inspection, scheduler.Complete, "2026-05-14 10:00")
		s.fact(scheduler.Fact{Step: "frame", Released: when("2026-05-14 10:00")})
		s.wait(finish("rough"), finish("frame"), scheduler.Sense)
		s.expect(t, scheduler.OutOfOrder, told{
			"out of order: rough, frame", scheduler.Act,
			"“The frame” was released on Thu 14 May, and “The rough”, which should have come first, was refused.",
		})
	})
}

func TestTooSoon(t *testing.T) {
	cured := func(done, started string) *scene {
		s := newScene()
		s.task("membrane", "windows", "north", scheduler.Complete, "2026-05-13 08:00", "2026-05-13 16:00")
		s.task("door", "framing", "north", scheduler.Underway, "2026-05-14 08:00", "2026-05-14 16:00")
		s.wait(finish("membrane"), start("door"), scheduler.Cure).Least = elapsedHours(24)
		s.job.Facts = []scheduler.Fact{{Step: "membrane", Done: when(done)}, {Step: "door", Started: when(started)}}
		return s
	}
	t.Run("by the clock", func(t *testing.T) {
		cured("2026-05-13 16:00", "2026-05-14 08:00").expect(t, scheduler.TooSoon, told{
			"too soon: membrane, door, grave", scheduler.Grave,
			"“The door” came on Thu 14 May, 16 hours after “The membrane”, which needs 24 elapsed hours to cure.",
		})
	})
	t.Run("days alone leave it open", func(t *testing.T) {
		cured("2026-05-13", "2026-05-14").expect(t, scheduler.TooSoon, told{
			"too soon: membrane, door", scheduler.Act,
			"“The membrane” came on Wed 13 May and “The door” on Thu 14 May; only the times of day can say whether the 24 elapsed hours to cure were kept.",
		})
	})
	t.Run("kept", func(t *testing.T) {
		s := cured("2026-05-13 16:00", "2026-05-15 08:00")
		s.step("door").Start = at("2026-05-15 08:00")
		s.expect(t, scheduler.TooSoon)
	})
	t.Run("waived", func(t *testing.T) {
		s := cured("2026-05-13 16:00", "2026-05-14 08:00")
		s.job.Waivers = []scheduler.Waiver{{From: finish("membrane"), To: start("door")}}
		s.expect(t, scheduler.TooSoon)
	})
}

func TestOpenTooLong(t *testing.T) {
	// The membrane is laid on Mon 4 May and may stay open for 20 days, to Sun 24 May.
	open := func(state scheduler.State, boardsEnd string) *scene {
		s := newScene()
		s.task("membrane", "windows", "north", scheduler.Complete, "2026-05-04 08:00", "2026-05-04 16:00")
		s.task("boards", "framing", "north", state, "2026-05-20 08:00", boardsEnd)
		most := worktime.Span{Amount: 20, Unit: worktime.ElapsedDays}
		s.job.BuildUps = []scheduler.BuildUp{{ID: "skin", Places: ids{"north"}, Layers: []scheduler.Layer{
			{ID: "membrane", By: "membrane", Exposed: &most}, {ID: "boards", By: "boards"},
		}}}
		s.fact(scheduler.Fact{Step: "membrane", Started: when("2026-05-04 08:00"), Done: when("2026-05-04 16:00")})
		return s
	}
	t.Run("as planned it will be", func(t *testing.T) {
		found := open(scheduler.Ready, "2026-05-26 16:00").expect(t, scheduler.OpenTooLong, told{
			"open too long: membrane, boards, grave", scheduler.Grave,
			"As planned, 22 days lie between the start of “The membrane” on Mon 4 May and the finish of “The boards” on Tue 26 May: more than the 20 elapsed days allowed.",
		})
		if found[0].Days[0] != day("2026-05-24") {
			t.Errorf("the limit is on %s", found[0].Days[0])
		}
	})
	t.Run("it is", func(t *testing.T) {
		s := open(scheduler.Ready, "2026-05-26 16:00")
		s.step("membrane").Start = at("2026-04-27 08:00")
		s.job.Facts[0].Started = when("2026-04-27 08:00")
		s.expect(t, scheduler.OpenTooLong, told{
			"open too long: membrane, boards, grave", scheduler.Grave,
			"21 days since the start of “The membrane” on Mon 27 Apr: more than the 20 elapsed days allowed before the finish of “The boards”.",
		})
	})
	t.Run("it was", func(t *testing.T) {
		s := open(scheduler.Complete, "2026-05-15 16:00")
		s.step("membrane").Start = at("2026-04-24 08:00")
		s.job.Facts[0].Started = when("2026-04-24 08:00")
		s.fact(scheduler.Fact{Step: "boards", Done: when("2026-05-15 16:00")})
		s.expect(t, scheduler.OpenTooLong, told{
			"open too long: membrane, boards, grave", scheduler.Grave,
			"21 days between the start of “The membrane” (Fri 24 Apr) and the finish of “The boards” (Fri 15 May): more than the 20 elapsed days allowed.",
		})
	})
	t.Run("nearly", func(t *testing.T) {
		s := open(scheduler.Ready, "2026-05-22 16:00")
		s.plan.AsOf = at("2026-05-21 00:00")
		s.expect(t, scheduler.OpenTooLong, told{
			"open too long: membrane, boards", scheduler.Act,
			"83 % of the 20 elapsed days allowed after the start of “The membrane” has gone; the finish of “The boards” must come by Sun 24 May.",
		})
		s.plan.AsOf = at("2026-05-18 00:00")
		s.expect(t, scheduler.OpenTooLong)
	})
	t.Run("planned close to the limit", func(t *testing.T) {
		s := open(scheduler.Ready, "2026-06-30 16:00")
		m := s.step("membrane")
		m.State, m.Start = scheduler.Ready, at("2026-06-12 08:00")
		s.job.Facts = nil
		s.expect(t, scheduler.OpenTooLong, told{
			"open too long: membrane, boards", scheduler.Note,
			"The plan uses 91 % of the 20 elapsed days allowed between the start of “The membrane” and the finish of “The boards”.",
		})
	})
	t.Run("a most time in working days", func(t *testing.T) {
		s := newScene()
		s.task("dig", "framing", "garden", scheduler.Complete, "2026-05-11 08:00", "2026-05-11 16:00")
		s.task("fill", "framing", "garden", scheduler.Ready, "2026-05-19 08:00", "2026-05-19 16:00")
		most := days(3)
		s.wait(finish("dig"), start("fill"), scheduler.Access).Most = &most
		s.fact(scheduler.Fact{Step: "dig", Done: when("2026-05-11 16:00")})
		s.expect(t, scheduler.OpenTooLong, told{
			"open too long: dig, fill, grave", scheduler.Grave,
			"4 working days since the finish of “The dig” on Mon 11 May: more than the 3 days allowed before the start of “The fill”.",
		})
	})
}
