package alert_test

import (
	"slices"
	"testing"

	"gaugerod/scheduler"
)

// promised is a scene in which the framers are promised the north wall for a step.
// As of is Mon 18 May.
func promised(from, until, start, finish string) *scene {
	s := newScene()
	s.job.People = append(s.job.People, scheduler.Person{ID: "fay", Name: "Fay Example", Trade: "framing"})
	s.task("strike", "framing", "north", scheduler.Waiting, start, finish)
	s.job.Issues = []scheduler.Issue{{Letter: "A", On: day("2026-05-04"), AsOf: day("2026-05-04"), By: "kim"}}
	s.job.Promises = []scheduler.Promise{{
		Window: "framing.north.strike", Trade: "framing", Place: "north", Steps: ids{"strike"}, From: day(from), Until: day(until), Letter: "A",
	}}
	return s
}

func TestPromiseKept(t *testing.T) {
	s := promised("2026-06-03", "2026-06-04", "2026-06-03 13:00", "2026-06-04 09:00")
	s.expect(t, scheduler.PromiseBroken)
	// Over, whenever that was.
	s = promised("2026-06-03", "2026-06-04", "2026-05-11 08:00", "2026-05-12 16:00")
	s.step("strike").State = scheduler.Complete
	s.expect(t, scheduler.PromiseBroken)
	// Begun a day early, and over in time.
	s = promised("2026-05-18", "2026-05-20", "2026-05-15 08:00", "2026-05-19 16:00")
	s.step("strike").State = scheduler.Underway
	s.expect(t, scheduler.PromiseBroken)
}

func TestPromiseBroken(t *testing.T) {
	// Far away: worth knowing.
	s := promised("2026-07-01", "2026-07-02", "2026-07-06 08:00", "2026-07-06 16:00")
	found := s.expect(t, scheduler.PromiseBroken, told{
		"promise broken: A, framing, north, strike", scheduler.Note,
		"Framing was promised North wall from Wed 1 Jul to Thu 2 Jul (issue A), and is now planned there on Mon 6 Jul.",
	})
	if !slices.Equal(found[0].People, ids{"fay"}) || len(found[0].Days) != 4 {
		t.Errorf("people %v, days %v", found[0].People, found[0].Days)
	}
	// Confirmed: the trade keeps the days free.
	s.job.Promises[0].Confirmed, s.job.Promises[0].By = &when("2026-05-06").Day, "framing"
	s.expect(t, scheduler.PromiseBroken, told{
		"promise broken: A, framing, north, strike", scheduler.Act,
		"Framing was promised North wall from Wed 1 Jul to Thu 2 Jul (issue A, confirmed on Wed 6 May), and is now planned there on Mon 6 Jul.",
	})
	s.job.Promises[0].Letter = ""
	s.expect(t, scheduler.PromiseBroken, told{
		"promise broken: framing, north, strike", scheduler.Act,
		"Framing was promised North wall from Wed 1 Jul to Thu 2 Jul (confirmed on Wed 6 May), and is now planned there on Mon 6 Jul.",
	})
	// The new day is near, the old one is not.
	promised("2026-07-01", "2026-07-01", "2026-06-12 08:00", "2026-06-12 16:00").expect(t, scheduler.PromiseBroken, told{
		"promise broken: A, framing, north, strike", scheduler.Act,
		"Framing was promised North wall on Wed 1 Jul (issue A), and is now planned there on Fri 12 Jun.",
	})
	// Only the end moves.
	promised("2026-06-03", "2026-06-04", "2026-06-03 08:00", "2026-06-05 16:00").expect(t, scheduler.PromiseBroken, told{
		"promise broken: A, framing, north, strike", scheduler.Act,
		"Framing was promised North wall from Wed 3 Jun to Thu 4 Jun (issue A), and is now planned there until Fri 5 Jun.",
	})
}

// TestPromiseBrokenGravely: the trade may be on its way. Two working days from Monday
// morning end on Tuesday evening.
func TestPromiseBrokenGravely(t *testing.T) {
	for from, grave := range map[string]bool{"2026-05-15": true, "2026-05-18": true, "2026-05-19": true, "2026-05-20": false} {
		s := promised(from, "2026-05-22", "2026-05-25 08:00", "2026-05-27 16:00")
		a := of(scheduler.PromiseBroken, s.find(t))
		if len(a) != 1 || (a[0].Severity == scheduler.Grave) != grave || (a[0].Key == "promise broken: A, framing, north, strike, grave") != grave {
			t.Errorf("promised from %s: %v", from, a)
		}
	}
	// It has begun, so nobody comes in vain.
	s := promised("2026-05-18", "2026-05-19", "2026-05-15 08:00", "2026-05-21 16:00")
	s.step("strike").State = scheduler.Underway
	s.expect(t, scheduler.PromiseBroken, told{
		"promise broken: A, framing, north, strike", scheduler.Act,
		"Framing was promised North wall from Mon 18 May to Tue 19 May (issue A), and will be there until Thu 21 May.",
	})
}

func TestPromiseOfWorkThatIsGone(t *testing.T) {
	s := promised("2026-06-03", "2026-06-04", "2026-06-03 08:00", "2026-06-04 16:00")
	s.job.Promises[0].Place = "south"
	s.expect(t, scheduler.PromiseBroken, told{
		"promise broken: A, framing, south, strike", scheduler.Act,
		"Framing was promised South wall from Wed 3 Jun to Thu 4 Jun (issue A), and has no work there any more.",
	})
	s.job.Promises[0].From, s.job.Promises[0].Until = day("2026-05-13"), day("2026-05-15")
	s.expect(t, scheduler.PromiseBroken) // past
}

func TestCannotCome(t *testing.T) {
	s := promised("2026-06-30", "2026-07-02", "2026-07-06 08:00", "2026-07-07 16:00")
	s.job.Promises = nil
	s.job.Trades[0].Off = []scheduler.Closure{{From: day("2026-06-30"), To: day("2026-07-03"), Why: "cannot come"}}
	s.job.Answers = []scheduler.Answer{{
		Window: "framing.north.strike", Trade: "framing", Place: "north", Steps: ids{"strike"},
		From: day("2026-06-30"), To: day("2026-07-03"), On: day("2026-05-15"), By: "framing", Note: "Another\njob",
	}}
	s.expect(t, scheduler.CannotCome, told{
		"cannot come: framing, north, strike", scheduler.Note,
		"Framing cannot come to North wall from Tue 30 Jun to Fri 3 Jul, in its words: “Another job”; its work there is now planned from Mon 6 Jul to Tue 7 Jul.",
	})
	// It was promised those days, here or elsewhere.
	s.job.Promises = []scheduler.Promise{{Window: "framing.south.x", Trade: "framing", Place: "south", Steps: ids{"x"}, From: day("2026-07-03"), Until: day("2026-07-03"), Letter: "A"}}
	if a := of(scheduler.CannotCome, s.find(t)); len(a) != 1 || a[0].Severity != scheduler.Act {
		t.Errorf("promised meanwhile: %v", a)
	}
	s.job.Promises = nil
	// A second answer about the window joins the first.
	s.job.Trades[0].Off = append(s.job.Trades[0].Off, scheduler.Closure{From: day("2026-05-26"), To: day("2026-05-26")})
	second := s.job.Answers[0]
	second.From, second.To = day("2026-05-25"), day("2026-05-27") // the owner has cut it to the 26th
	s.job.Answers = append(s.job.Answers, second)
	s.expect(t, scheduler.CannotCome, told{
		"cannot come: framing, north, strike", scheduler.Act,
		"Framing cannot come to North wall from Tue 30 Jun to Fri 3 Jul, in its words: “Another job”; its work there is now planned from Mon 6 Jul to Tue 7 Jul. Nor on Tue 26 May.",
	})
	// Days off taken away, or past: settled.
	s.job.Trades[0].Off = []scheduler.Closure{{From: day("2026-05-11"), To: day("2026-05-15")}}
	s.job.Answers[0].From, s.job.Answers[0].To = day("2026-05-11"), day("2026-05-17")
	s.expect(t, scheduler.CannotCome)
	// Today still counts.
	s.job.Trades[0].Off[0].To = day("2026-05-18")
	s.job.Answers[0].To = day("2026-05-18")
	if a := of(scheduler.CannotCome, s.find(t)); len(a) != 1 {
		t.Errorf("the last day is today: %v", a)
	}
}
