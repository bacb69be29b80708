package web

import (
	"strings"
	"testing"
	"time"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// scene is a small job and its plan, both made by hand, so that every date is
// known: it is Wednesday 20 May 2026 in the morning.
//
// The slab was poured on Monday and cures for five elapsed days. The membrane has
// been open since the 4th and must be covered within 30 elapsed days by boards
// that are planned for Thursday and Friday; nobody has looked at it yet.
func scene() *office.Sheet {
	week := worktime.Week{}
	for d := time.Monday; d <= time.Friday; d++ {
		week[d] = []worktime.Period{{From: 8 * 60, To: 16 * 60}}
	}
	job := &scheduler.Job{
		ID: "shed", Title: "Shed", Zone: "UTC", Start: worktime.NewDate(2026, 5, 4), Week: week,
		People: []scheduler.Person{{ID: "ann", Name: "Ann Example", Role: scheduler.Designer}},
		Trades: []scheduler.Trade{{ID: "boards", Title: "Boarders", Short: "BO"}, {ID: "masons", Title: "Masons", Short: "MA"}},
		Places: []scheduler.Place{{ID: "shed", Title: "The shed"}, {ID: "wall", Title: "The wall", Within: "shed"}},
		Orders: []scheduler.Order{{ID: "door", Title: "Door", Supplier: "ann", Receives: "masons", Places: []scheduler.ID{"shed"}}},
	}
	at := func(day, hour int) time.Time { return time.Date(2026, 5, day, hour, 0, 0, 0, time.UTC) }
	step := func(id scheduler.ID, kind scheduler.StepKind, state scheduler.State, from, to time.Time) scheduler.PlannedStep {
		return scheduler.PlannedStep{ID: id, Kind: kind, Title: upper(string(id)), State: state, Start: from, Finish: to, Places: []scheduler.ID{"wall"}}
	}
	plan := &scheduler.Plan{Job: "shed", AsOf: at(20, 0), Finish: at(29, 16), Bound: at(29, 16), Proven: true, Aims: []scheduler.Aim{{Kind: scheduler.AimFinish, Proven: true, Text: "The finish is the earliest possible."}}, Steps: []scheduler.PlannedStep{
		step("slab", scheduler.TaskStep, scheduler.Complete, at(18, 8), at(18, 16)),
		step("posts", scheduler.TaskStep, scheduler.Waiting, at(25, 8), at(26, 16)),
		step("membrane", scheduler.TaskStep, scheduler.Complete, at(4, 8), at(5, 16)),
		step("boards", scheduler.TaskStep, scheduler.Waiting, at(21, 8), at(22, 16)),
		step("seen", scheduler.HoldStep, scheduler.Ready, at(20, 9), at(20, 9)),
		step("drain", scheduler.TaskStep, scheduler.Ready, at(20, 8), at(20, 16)),
		step("colour", scheduler.HoldStep, scheduler.Ready, at(20, 8), at(20, 8)),
		step("door.delivery", scheduler.HoldStep, scheduler.Waiting, at(22, 10), at(22, 10)),
	}}
	plan.Steps[0].Trades = []scheduler.ID{"masons"}
	plan.Steps[3].Trades = []scheduler.ID{"boards"}
	plan.Steps[3].Needs = []scheduler.Need{{Step: "seen", Text: "Seen"}, {Step: "membrane", Text: "Membrane", Met: true}}
	plan.Steps[1].Needs = []scheduler.Need{{Step: "slab", Text: "Slab", Met: true}}
	plan.Steps[4].Drivers = []scheduler.Driver{{Kind: scheduler.ByNotice, Text: "she must be told a day before"}}
	plan.Steps[7].Order = "door"
	tell, limit := at(19, 16), at(4, 8).Add(30*24*time.Hour)
	plan.Holds = []scheduler.PlannedHold{
		{ID: "seen", Kind: scheduler.Inspection, By: "ann", State: scheduler.Ready, Planned: at(20, 9), NeedBy: at(21, 8), TellBy: &tell, Holds: []scheduler.ID{"boards"}},
		{ID: "colour", Kind: scheduler.Decision, By: "ann", State: scheduler.Ready, Planned: at(20, 8), NeedBy: at(19, 16), Holds: []scheduler.ID{"boards"}},
		{ID: "door.delivery", Kind: scheduler.Delivery, State: scheduler.Waiting, Planned: at(22, 10), NeedBy: at(27, 8)},
	}
	plan.Orders = []scheduler.PlannedOrder{{ID: "door", Title: "Door", Supplier: "ann", State: scheduler.Ready, Planned: at(20, 8), Delivery: at(22, 10), NeedBy: at(27, 8), OrderBy: at(19, 8), Margin: 2 * 480}}
	plan.Covers = []scheduler.PlannedCover{{BuildUp: "skin", Place: "wall", Layer: "membrane", Title: "Membrane", Step: "membrane", CoveredBy: "boards", Laid: at(4, 8), Covered: at(22, 16), Limit: &limit, Unseen: []scheduler.ID{"seen"}}}
	plan.Windows = []scheduler.Window{{ID: "b", Trade: "boards", Place: "wall", Steps: []scheduler.ID{"boards"}, Earliest: at(21, 8), From: at(21, 8), Until: at(22, 16), OutForOthers: at(25, 16), OutForDue: at(29, 16)}}
	plan.Dues = []scheduler.PlannedDue{{ID: "d", Title: "Shut", Step: "boards", By: at(22, 0), Planned: at(22, 16), Margin: -480, Missed: true}}
	plan.Alerts = []scheduler.Alert{
		{Key: "n", Severity: scheduler.Note, Sentence: "A note."},
		{Key: "g", Severity: scheduler.Grave, Kind: scheduler.CoveredUnseen, Sentence: "Something is buried unseen.", Steps: []scheduler.ID{"boards"}},
		{Key: "o", Severity: scheduler.Grave, Sentence: "Known already.", Aside: "It was agreed"},
	}
	net := scheduler.NewNetwork(job, nil, []scheduler.Wait{{
		From: scheduler.Point{Step: "slab", End: scheduler.Finish}, To: scheduler.Point{Step: "posts"}, Least: worktime.Span{Amount: 5, Unit: worktime.ElapsedDays}, Reason: scheduler.Cure,
	}})
	return &office.Sheet{Job: job, Network: net, Plan: plan, Revision: 3, AsOf: worktime.NewDate(2026, 5, 20)}
}

func sceneBoard(t *testing.T) *board {
	t.Helper()
	b, err := newBoard(scene(), time.Date(2026, 5, 20, 8, 0, 0, 0, time.UTC), false)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestWeekInSentences(t *testing.T) {
	b := sceneBoard(t)
	pg := newWeekPage(b, b.weekOf(b.AsOf))
	for _, c := range []struct{ what, got, want string }{
		{"week", pg.Week.Text(), "Mon 18 May to Sun 24 May"},
		{"finish", pg.Opening[0].Text(), "The work is planned to finish on Fri 29 May."},
		{"how near the aims", pg.Opening[1].Text(), "The finish is the earliest possible."},
		{"due", pg.Opening[2].Text(), "Shut is due by Thu 21 May and planned for Fri 22 May, 1 working day late."},
		{"ahead", pg.Ahead[0].Step.Text() + ": " + pg.Ahead[0].Says.Text(), "Drain, The wall: Nothing stops it: planned for Wed 20 May."},
		{"coming", pg.Coming[0].Says.Text(), "Planned from Thu 21 May to Fri 22 May, once Seen is released (Wed 20 May)."},
		{"stop", pg.Stops[0].Gate.Text() + " " + pg.Stops[0].Where.Text(), "Seen, The wall inspection, Ann Example, not booked"},
		{"why", pg.Stops[0].Why.Text(), "she must be told a day before"},
		{"stopped", pg.Stops[0].Stops[0].Text(), "Boards, The wall (planned for Thu 21 May)"},
		{"arrival", pg.Arrivals[0].Text(), "Fri 22 May: Door (planned), received by Masons, brought to The shed. Open"},
		{"cover", pg.Covers[0].Says.Text(), "Membrane, The wall: covered by Boards, planned from Thu 21 May to Fri 22 May."},
		{"unseen", pg.Covers[0].Seen.Text(), "Not seen yet: Seen (inspection, Ann Example, not booked)."},
		{"gate", pg.Gates[0].Says.Text(), "Tell Ann Example by Tue 19 May; planned for Wed 20 May, needed by Thu 21 May."},
		{"decision", pg.Decisions[0].By.Text + ": " + pg.Decisions[0].Says.Text(), "Tue 19 May: Colour (decision), by Ann Example. Without it these wait: Boards."},
		{"order", pg.ToOrder[0].By.Text + ": " + pg.ToOrder[0].Says.Text(), "Tue 19 May: Door from Ann Example, to be here by Wed 27 May; placed as planned on Wed 20 May it comes on Fri 22 May, 2 working days in hand."},
		{"cure", pg.Clocks[0].Left + ": " + pg.Clocks[0].Says.Text(), "3½ days left: Cures 5 elapsed days, until Sat 23 May, 16:00; before that Posts must wait."},
		{"exposure", pg.Clocks[1].Left + ": " + pg.Clocks[1].Says.Text(), "14½ days left: Open since Mon 4 May; to be covered by Wed 3 Jun. Boards is planned to be done on Fri 22 May, in time."},
		{"others", pg.OtherAlerts.Text(), "Besides: no alerts to act on and one note."},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, not %q", c.what, c.got, c.want)
		}
	}
	if len(pg.Grave) != 1 || pg.Grave[0].Key != "g" {
		t.Errorf("the grave alerts are %v, not the one that nobody set aside", pg.Grave)
	}
	for _, late := range []struct {
		what string
		is   bool
	}{{"gate", pg.Gates[0].Late}, {"decision", pg.Decisions[0].Late}, {"order", pg.ToOrder[0].Late}} {
		if !late.is {
			t.Errorf("the %s is past its day and not shown as late", late.what)
		}
	}
	if pg.Covers[0].Good {
		t.Error("what nobody has seen passes for seen")
	}
}

func TestWhoComesOnWhichDay(t *testing.T) {
	b := sceneBoard(t)
	var got []string
	for _, d := range b.whoComes(b.weekOf(b.AsOf)) {
		line := d.Day.Text + ":"
		for _, v := range d.Visits {
			line += " " + v.Trade.Text + " " + v.Word + " " + v.Where + " " + v.Doing.Text()
		}
		for _, c := range d.Callers {
			line += " " + c.Text()
		}
		got = append(got, line)
	}
	want := "Mon 18 May: | Tue 19 May: | Wed 20 May: Ann Example for Seen, The wall, not booked yet" +
		" | Thu 21 May: Boarders comes The wall Boards | Fri 22 May: Boarders last day The wall Boards"
	if s := strings.Join(got, " | "); s != want {
		t.Errorf("%s\nnot\n%s", s, want)
	}
}

// TestExposureThatIsTooLate moves the cover behind its limit.
func TestExposureThatIsTooLate(t *testing.T) {
	sheet := scene()
	limit := sheet.Plan.Covers[0].Covered.Add(-72 * time.Hour)
	sheet.Plan.Covers[0].Limit = &limit
	b, err := newBoard(sheet, sheet.Plan.AsOf, false)
	if err != nil {
		t.Fatal(err)
	}
	c := b.exposures()[0]
	if !c.Late || c.Left != "8 hours over" || !strings.Contains(c.Says.Text(), "3 days too late") {
		t.Errorf("late %v, %s: %s", c.Late, c.Left, c.Says.Text())
	}
}

func TestClocksStopWhenTheyAreOver(t *testing.T) {
	sheet := scene()
	sheet.Network.Waived[0] = true
	for k := range sheet.Plan.Steps {
		if sheet.Plan.Steps[k].ID == "boards" {
			sheet.Plan.Steps[k].State = scheduler.Complete
		}
	}
	b, err := newBoard(sheet, sheet.Plan.AsOf, false)
	if err != nil {
		t.Fatal(err)
	}
	if clocks := b.clocks(); len(clocks) != 0 {
		t.Errorf("a waived cure or a covered layer still runs: %v", clocks)
	}
}

func TestJobInNoZone(t *testing.T) {
	sheet := scene()
	sheet.Job.Zone = "Nowhere/Atall"
	if _, err := newBoard(sheet, sheet.Plan.AsOf, false); err == nil {
		t.Error("a board was made without a time zone")
	}
}
