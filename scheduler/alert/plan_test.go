package alert_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func TestLoop(t *testing.T) {
	s := newScene()
	s.plan.Contradictions = []scheduler.Contradiction{{
		Statements: []scheduler.Statement{
			{Text: "b starts after a", Steps: ids{"a", "b"}}, {Text: "a starts after b", Steps: ids{"b", "a"}},
		}, Dropped: 1,
	}}
	s.expect(t, scheduler.Loop, told{
		"loop: a, b", scheduler.Grave,
		"These 2 statements cannot all hold: b starts after a; a starts after b; the plan sets aside: a starts after b.",
	})
	s.plan.Contradictions[0].Dropped = -1
	s.expect(t, scheduler.Loop, told{
		"loop: a, b", scheduler.Grave,
		"These 2 statements cannot all hold: b starts after a; a starts after b; the due day is missed.",
	})
}

func TestDueMissed(t *testing.T) {
	s := newScene()
	s.task("tape", "windows", "north", scheduler.Underway, "2026-05-18 08:00", "2026-05-26 16:00")
	s.task("clad", "framing", "north", scheduler.Waiting, "2026-05-27 08:00", "2026-07-02 16:00").
		Drivers = []scheduler.Driver{{Kind: scheduler.ByWait, Step: "tape"}}
	s.plan.Dues = []scheduler.PlannedDue{{ID: "closed", Title: "Closed in", Step: "clad", By: at("2026-07-01 00:00"), Planned: at("2026-07-02 16:00"), Margin: -960, Missed: true}}
	found := s.expect(t, scheduler.DueMissed, told{
		"due day missed: closed", scheduler.Grave,
		"“Closed in” is due on Tue 30 Jun and comes on Thu 2 Jul, 2 working days late.",
	})
	if !strings.Contains(found[0].Remedy, "“The clad” and “The tape”") {
		t.Errorf("remedy %q", found[0].Remedy)
	}
	s.step("clad").State = scheduler.Complete
	s.expect(t, scheduler.DueMissed, told{
		"due day missed: closed, past", scheduler.Note,
		"“Closed in” was due on Tue 30 Jun and came on Thu 2 Jul, 2 working days late.",
	})
	s.plan.Dues[0].Planned, s.plan.Dues[0].Missed = at("2026-06-30 16:00"), false
	s.expect(t, scheduler.DueMissed)
}

func TestShortNotice(t *testing.T) {
	s := newScene()
	s.task("strike", "framing", "north", scheduler.Waiting, "2026-05-21 08:00", "2026-05-21 16:00")
	s.plan.Windows = []scheduler.Window{{Trade: "framing", Place: "north", Steps: ids{"strike"}, From: at("2026-05-21 08:00"), TellBy: at("2026-05-14 08:00")}}
	s.expect(t, scheduler.ShortNotice, told{
		"short notice: framing, north, strike", scheduler.Act,
		"Framing is planned in North wall from Thu 21 May, and needs 5 days notice: that day was Thu 14 May.",
	})
	s.plan.Windows[0].TellBy = at("2026-05-18 08:00") // today
	s.expect(t, scheduler.ShortNotice)
	s.plan.Windows[0].TellBy = at("2026-05-14 08:00")
	s.step("strike").State = scheduler.Underway
	s.expect(t, scheduler.ShortNotice)
	s.step("strike").State = scheduler.Waiting
	s.job.Trades[0].Notice = worktime.Span{}
	s.expect(t, scheduler.ShortNotice)
}

func TestLooseEnd(t *testing.T) {
	s := newScene()
	s.task("begin", "framing", "north", scheduler.Ready, "2026-05-18 08:00", "2026-05-18 16:00")
	s.task("stray", "framing", "north", scheduler.Ready, "2026-05-19 08:00", "2026-05-19 16:00")
	s.task("orphan", "framing", "north", scheduler.Ready, "2026-05-20 08:00", "2026-05-20 16:00")
	s.task("end", "framing", "north", scheduler.Ready, "2026-05-21 08:00", "2026-05-21 16:00")
	s.task("dead", "framing", "north", scheduler.Ready, "2026-05-20 08:00", "2026-05-20 16:00")
	s.wait(finish("begin"), start("end"), scheduler.Sense)
	s.wait(finish("orphan"), start("end"), scheduler.Sense)
	s.wait(finish("begin"), start("dead"), scheduler.Sense)
	s.expect(t, scheduler.LooseEnd,
		told{"loose end: stray", scheduler.Note, "Nothing leads to “The stray” and nothing follows it: its day means nothing to the plan."},
		told{"loose end: dead", scheduler.Note, "Nothing follows “The dead”: it may slip without anybody being told."},
		told{"loose end: orphan", scheduler.Note, "Nothing leads to “The orphan”: it is planned as early as anybody is free."},
	)
	s.job.Dues = []scheduler.Due{{ID: "d", Step: "dead", On: day("2026-06-01")}}
	s.job.Pins = []scheduler.Pin{{Step: "orphan"}}
	s.step("stray").State = scheduler.Complete
	s.expect(t, scheduler.LooseEnd)
}

func TestExtraVisit(t *testing.T) {
	visit := func() *scene {
		s := newScene()
		s.task("frame", "framing", "house", scheduler.Complete, "2026-05-04 08:00", "2026-05-15 16:00")
		s.task("clad", "windows", "north", scheduler.Waiting, "2026-05-18 08:00", "2026-05-29 16:00")
		s.task("strike", "framing", "north", scheduler.Waiting, "2026-06-01 08:00", "2026-06-01 16:00").
			Drivers = []scheduler.Driver{{Kind: scheduler.ByWait, Step: "clad"}}
		return s
	}
	visit().expect(t, scheduler.ExtraVisit, told{
		"extra visit: framing, strike", scheduler.Note,
		"Framing comes back on Mon 1 Jun for 1 working day only (“The strike”), 10 working days after it left, because that waits for “The clad”.",
	})

	for name, change := range map[string]func(*scene){
		"more than a day's work": func(s *scene) { s.step("strike").Work = 481 },
		"its own crews":          func(s *scene) { s.step("strike").Drivers[0].Kind = scheduler.ByLimit },
		"a pin": func(s *scene) {
			s.step("strike").Drivers = append(s.step("strike").Drivers, scheduler.Driver{Kind: scheduler.ByPin})
		},
		"a short gap":        func(s *scene) { s.step("frame").Finish = at("2026-05-25 08:00") },
		"begun":              func(s *scene) { s.step("strike").State = scheduler.Underway },
		"its first visit":    func(s *scene) { s.step("frame").Trades = ids{"windows"} },
		"nothing in the way": func(s *scene) { s.step("strike").Drivers = nil },
	} {
		t.Run(name, func(t *testing.T) {
			s := visit()
			change(s)
			s.expect(t, scheduler.ExtraVisit)
		})
	}
}

func TestTradeInTwoPlaces(t *testing.T) {
	t.Run("now, by what was recorded", func(t *testing.T) {
		s := newScene()
		s.task("a", "framing", "north", scheduler.Underway, "2026-05-14 08:00", "2026-05-18 16:00")
		s.task("b", "framing", "garden", scheduler.Underway, "2026-05-15 08:00", "2026-05-18 16:00")
		s.expect(t, scheduler.TradeInTwoPlaces,
			told{"trade in two places: framing, now, a, b", scheduler.Act, "Framing is recorded at work in Garden and North wall at once and has 1 crew."},
			told{"trade in two places: framing, garden, north", scheduler.Note, "Framing is in Garden and in North wall on Mon 18 May."})
		s.job.Trades[0].Crews = 2
		s.expect(t, scheduler.TradeInTwoPlaces)
	})
	t.Run("on one day, apart", func(t *testing.T) {
		s := newScene()
		s.task("a", "framing", "north", scheduler.Ready, "2026-05-19 08:00", "2026-05-19 12:00")
		s.task("b", "framing", "garden", scheduler.Ready, "2026-05-19 12:00", "2026-05-19 16:00")
		s.task("c", "framing", "south", scheduler.Ready, "2026-05-20 08:00", "2026-05-20 12:00")
		s.task("d", "framing", "north", scheduler.Ready, "2026-05-20 12:00", "2026-05-20 16:00")
		s.expect(t, scheduler.TradeInTwoPlaces, // two walls of one house are not apart
			told{"trade in two places: framing, garden, north", scheduler.Note, "Framing is in Garden and in North wall on Tue 19 May."})
		for _, id := range []scheduler.ID{"a", "b"} { // beyond 20 working days
			s.step(id).Start, s.step(id).Finish = at("2026-06-15 08:00"), at("2026-06-15 16:00")
		}
		s.expect(t, scheduler.TradeInTwoPlaces)
	})
}

func TestPlaceCrowded(t *testing.T) {
	t.Run("now, by what was recorded", func(t *testing.T) {
		s := newScene()
		for _, id := range []scheduler.ID{"a", "b", "c"} {
			s.task(id, "", "north", scheduler.Underway, "2026-05-14 08:00", "2026-05-18 16:00")
		}
		s.expect(t, scheduler.PlaceCrowded, told{
			"place crowded: house, now, a, b, c", scheduler.Act,
			"“The a”, “The b” and “The c” are all recorded as under way in House, and it has room for 2.",
		})
		s.job.Places[1].Room = 3
		s.expect(t, scheduler.PlaceCrowded)
		s.job.Tasks[1].Alone = true
		s.expect(t, scheduler.PlaceCrowded, told{
			"place crowded: north, now, a, b, c", scheduler.Act,
			"“The a”, “The b” and “The c” are all recorded as under way in North wall, and “The b” needs it to itself.",
		})
	})
	t.Run("two trades on one day", func(t *testing.T) {
		s := newScene()
		s.task("a", "framing", "north", scheduler.Ready, "2026-05-19 08:00", "2026-05-20 12:00")
		s.task("b", "windows", "north", scheduler.Ready, "2026-05-20 12:00", "2026-05-21 16:00")
		s.task("c", "windows", "house", scheduler.Ready, "2026-05-19 08:00", "2026-05-21 16:00") // places lie in it
		s.expect(t, scheduler.PlaceCrowded, told{
			"place crowded: north, framing, windows", scheduler.Note,
			"Framing and Window setting are both in North wall on Wed 20 May.",
		})
		s.step("b").Start = at("2026-05-21 08:00")
		s.expect(t, scheduler.PlaceCrowded)
	})
}

// TestOrderAndAsides: the gravest first, then by day, then by key; what was put aside
// stays in its place with the reason; and all is the same each time.
func TestOrderAndAsides(t *testing.T) {
	s := newScene()
	s.task("z", "framing", "north", scheduler.Underway, "2026-05-14 08:00", "2026-05-18 16:00")
	s.task("y", "framing", "garden", scheduler.Underway, "2026-05-15 08:00", "2026-05-18 16:00")
	s.task("x", "windows", "north", scheduler.Ready, "2026-05-18 08:00", "2026-05-18 16:00")
	s.plan.Contradictions = []scheduler.Contradiction{{Statements: []scheduler.Statement{{Text: "x", Steps: ids{"x"}}}}}
	s.job.Asides = []scheduler.Aside{{Alert: "loose end: x", Reason: "by design"}, {Alert: "loose end: gone", Reason: "long ago"}}
	first := s.find(t)
	var keys []string
	for _, a := range first {
		keys = append(keys, a.Key)
		if want := map[string]string{"loose end: x": "by design"}[a.Key]; a.Aside != want {
			t.Errorf("%s is aside for %q, want %q", a.Key, a.Aside, want)
		}
	}
	want := []string{
		"loop: x",
		"trade in two places: framing, now, y, z",
		"loose end: z", "loose end: y", "loose end: x",
		"place crowded: north, framing, windows", "trade in two places: framing, garden, north",
	}
	if !slices.Equal(keys, want) {
		t.Errorf("got  %q\nwant %q", keys, want)
	}
	for range 20 {
		if !reflect.DeepEqual(first, s.find(t)) {
			t.Fatal("not the same each time")
		}
	}
}

// TestKeysHoldNoDates: a plan a week later tells the same matters under the same keys.
func TestKeysHoldNoDates(t *testing.T) {
	s, _ := windowOrder(scheduler.Ready, "2026-07-02 16:00")
	before := s.find(t)
	for k := range s.plan.Steps {
		p := &s.plan.Steps[k]
		p.Start, p.Finish = p.Start.AddDate(0, 0, 7), p.Finish.AddDate(0, 0, 7)
	}
	o := &s.plan.Orders[0]
	o.Delivery, o.OrderBy = o.Delivery.AddDate(0, 0, 7), o.OrderBy.AddDate(0, 0, 7)
	s.plan.AsOf = s.plan.AsOf.AddDate(0, 0, 7)
	after := s.find(t)
	names := func(all []scheduler.Alert) []string {
		var keys []string
		for _, a := range all {
			keys = append(keys, a.Key)
		}
		slices.Sort(keys)
		return keys
	}
	if len(before) < 2 || !slices.Equal(names(before), names(after)) {
		t.Errorf("before %q, after %q", names(before), names(after))
	}
}
