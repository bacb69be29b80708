package verify_test

import (
	"slices"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

type (
	job  = *scheduler.Job
	plan = *scheduler.Plan
)

var mutations = []mutation{
	{"no such zone", verify.ZoneUnknown, func(j job, _ plan) { j.Zone = "Nowhere/None" }},

	{"left out", verify.StepMissing, func(_ job, p plan) { p.Steps = p.Steps[1:] }},
	{"instance left out", verify.StepMissing, func(_ job, p plan) { p.Steps = p.Steps[:len(p.Steps)-1] }},
	{"invented", verify.StepUnknown, func(_ job, p plan) { p.Steps[0].ID = "dug" }},
	{"twice", verify.StepUnknown, func(_ job, p plan) { p.Steps = append(p.Steps, p.Steps[0]) }},
	{"another trade", verify.StepMisstated, func(_ job, p plan) { p.FindStep("board").Trades = []scheduler.ID{"alder"} }},
	{"another place", verify.StepMisstated, func(_ job, p plan) { p.FindStep("roof.sweep").Places = nil }},
	{"not elapsed", verify.StepMisstated, func(_ job, p plan) { p.FindStep("board").Elapsed = true }},

	{"another day's length", verify.HeadWrong, func(_ job, p plan) { p.DayMinutes = 300 }},
	{"another job", verify.HeadWrong, func(_ job, p plan) { p.Job = "other" }},
	{"noon", verify.AsOfWrong, func(_ job, p plan) { p.AsOf = at(4, 12) }},
	{"too late", verify.FinishWrong, func(_ job, p plan) { p.Finish = at(11, 12) }},
	{"earliest too early", verify.FinishWrong, func(_ job, p plan) { p.EarliestFinish = at(9, 16) }},
	{"after the finish", verify.BoundWrong, func(_ job, p plan) { p.Bound = at(10, 13) }},
	{"proven without proof", verify.BoundWrong, func(_ job, p plan) { p.Proven = true }},

	{"visit for nothing else", verify.DriverWrong, func(_ job, p plan) {
		p.FindStep("door.making").Drivers = []scheduler.Driver{{Kind: scheduler.ByVisit, Text: "its trade comes then anyway"}}
	}},
	{"aim left out", verify.AimWrong, func(_ job, p plan) { p.Aims = p.Aims[1:] }},
	{"aims in another order", verify.AimWrong, func(_ job, p plan) { slices.Reverse(p.Aims) }},
	{"a due day missed and not told", verify.AimWrong, func(j job, _ plan) { j.Dues[0].On = *onDay(9) }},
	{"finish told wrongly", verify.AimWrong, func(_ job, p plan) { p.Aims[1].Reached++ }},
	{"least after what is reached", verify.AimWrong, func(_ job, p plan) { p.Aims[0].Least = 1 }},
	{"aim proven without proof", verify.AimWrong, func(_ job, p plan) { p.Aims[1].Proven = true }},
	{"least of the finish is not the bound", verify.AimWrong, func(_ job, p plan) { p.Aims[1].Least-- }},
	{"visits miscounted", verify.AimWrong, func(_ job, p plan) { p.Aims[2].Reached, p.Aims[2].Least = 3, 3 }},
	{"a visit more and not told", verify.AimWrong, func(j job, p plan) {
		j.Waits = nil
		move(p, "roof.sweep", at(16, 8), at(16, 10))
	}},
	{"goods that lie too long and are not told of", verify.AimWrong, func(j job, _ plan) {
		j.Orders[0].Keep = worktime.Span{Amount: 1, Unit: worktime.ElapsedHours}
	}},
	{"aim without words", verify.AimWrong, func(_ job, p plan) { p.Aims[0].Text = "" }},

	{"an hour missing", verify.WorkAmount, func(_ job, p plan) { p.FindStep("hang").Finish = at(6, 15) }},
	{"work misstated", verify.WorkAmount, func(_ job, p plan) { p.FindStep("hang").Work = 60 }},
	{"rest misstated", verify.WorkAmount, func(_ job, p plan) { p.FindStep("frame").Rest = 960 }},
	{"resumes not told", verify.WorkAmount, func(_ job, p plan) { p.FindStep("frame").Resumes = nil }},
	{"resumes not told, nothing left", verify.WorkAmount, func(j job, p plan) {
		addFact(j, scheduler.Fact{Step: "frame", Started: when(3), Remaining: &worktime.Span{}})
		p.FindStep("frame").Rest, p.FindStep("frame").Resumes = 0, nil
	}},
	{"no length but lasts", verify.WorkAmount, func(_ job, p plan) { p.FindStep("seen").Finish = at(5, 8) }},
	{"starts at night", verify.OutsideHours, func(_ job, p plan) { p.FindStep("hang").Start = at(6, 4) }},
	{"finishes at night", verify.OutsideHours, func(_ job, p plan) { p.FindStep("hang").Finish = at(6, 20) }},
	{"gate at night", verify.OutsideHours, func(_ job, p plan) { move(p, "seen", at(4, 20), at(4, 20)) }},
	{"trade has another week", verify.OutsideHours, func(j job, _ plan) {
		j.Trades[1].Week = &worktime.Week{}
		j.Trades[1].Week[time.Friday] = []worktime.Period{{From: 480, To: 960}}
	}},
	{"trade is away", verify.OutsideHours, func(j job, _ plan) { j.Trades[0].Off = []scheduler.Closure{{From: *onDay(6), To: *onDay(6)}} }},
	{"place around is shut", verify.OutsideHours, func(j job, _ plan) { j.Places[0].Closures = []scheduler.Closure{{From: *onDay(5), To: *onDay(5)}} }},
	{"in the past", verify.BeforeAsOf, func(_ job, p plan) { move(p, "door.making", at(3, 8), at(4, 16)) }},
	{"rest in the past", verify.BeforeAsOf, func(_ job, p plan) { past := at(3, 8); p.FindStep("frame").Resumes = &past }},
	{"before the job", verify.BeforeStart, func(j job, _ plan) { j.Start = *onDay(10) }},

	{"finish moved", verify.FactMoved, func(_ job, p plan) { p.FindStep("dig").Finish = at(2, 15) }},
	{"start moved", verify.FactMoved, func(_ job, p plan) { p.FindStep("frame").Start = at(4, 8) }},
	{"start made up", verify.FactMoved, func(j job, p plan) {
		addFact(j, scheduler.Fact{Step: "dig", Done: when(2)})
		p.FindStep("dig").Start = at(2, 10)
	}},
	{"done is ready", verify.StateWrong, func(_ job, p plan) { p.FindStep("dig").State = scheduler.Ready }},
	{"nothing is done", verify.StateWrong, func(_ job, p plan) { p.FindStep("hang").State = scheduler.Complete }},
	{"refused", verify.StateWrong, func(j job, _ plan) { addFact(j, scheduler.Fact{Step: "seen", Refused: when(3)}) }},
	{"waits with all there", verify.StateWrong, func(_ job, p plan) { p.FindStep("door.making").State = scheduler.Waiting }},
	{"marked in order", verify.OutOfOrderMark, func(j job, p plan) {
		addFact(j, scheduler.Fact{Step: "dig", Started: when(2), Done: when(3)})
		p.FindStep("dig").Finish = at(3, 16)
	}},
	{"marked without cause", verify.OutOfOrderMark, func(_ job, p plan) { p.FindStep("frame").OutOfOrder = true }},

	{"too soon", verify.WaitShort, func(_ job, p plan) { move(p, "paint", at(6, 8), at(6, 16)) }},
	{"cure too short", verify.WaitShort, func(j job, _ plan) { waitBetween(j, "board", "paint").Least.Amount = 100 }},
	{"wait on the site's calendar", verify.WaitShort, func(j job, _ plan) {
		waitBetween(j, "board", "paint").Least = worktime.Span{Amount: 9, Unit: worktime.Hours}
	}},
	{"finish to finish", verify.WaitShort, func(j job, _ plan) {
		w := waitBetween(j, "door.delivery", "hang")
		w.To.End, w.Least = scheduler.Finish, worktime.Span{Amount: 2, Unit: worktime.Days}
	}},
	{"start to start", verify.WaitShort, func(j job, _ plan) {
		w := waitBetween(j, "board", "paint")
		w.From.End, w.Least = scheduler.Start, worktime.Span{Amount: 3, Unit: worktime.Days}
	}},
	{"order's stages", verify.WaitShort, func(_ job, p plan) { move(p, "door.delivery", at(4, 16), at(4, 16)) }},
	{"cure of a layer", verify.WaitShort, func(j job, _ plan) { j.BuildUps[0].Layers[0].Cure = worktime.Span{Amount: 1, Unit: worktime.Days} }},
	{"covered unseen", verify.WaitShort, func(_ job, p plan) { move(p, "seen", at(5, 12), at(5, 12)) }},
	{"every instance", verify.WaitShort, func(_ job, p plan) { move(p, "wall.sweep", at(9, 14), at(9, 16)) }},
	{"rest of begun work", verify.WaitShort, func(j job, _ plan) {
		j.Waits = append(j.Waits, scheduler.Wait{From: scheduler.Point{Step: "door.making", End: scheduler.Finish}, To: scheduler.Point{Step: "frame"}})
	}},
	{"too late", verify.WaitLong, func(j job, _ plan) {
		*waitBetween(j, "board", "paint").Most = worktime.Span{Amount: 7, Unit: worktime.Hours}
	}},
	{"open too long", verify.WaitLong, func(j job, _ plan) { j.BuildUps[0].Layers[0].Exposed.Amount = 2 }},
	{"left out", verify.WaitMissing, func(_ job, p plan) { p.Waits = p.Waits[1:] }},
	{"least misstated", verify.WaitMissing, func(_ job, p plan) { plannedWait(p, "board", "paint").Least = "1 hour" }},
	{"invented", verify.WaitUnknown, func(_ job, p plan) { p.Waits[0].ToID, p.Waits[0].To = "hang", "start of hang" }},
	{"lifted by nobody", verify.WaiverWrong, func(_ job, p plan) { plannedWait(p, "board", "paint").Waived = "why not" }},
	{"waiver not told", verify.WaiverWrong, func(j job, _ plan) {
		w := waitBetween(j, "board", "paint")
		j.Waivers = append(j.Waivers, scheduler.Waiver{From: w.From, To: w.To, By: "kim", Reason: "it is dry"})
	}},
	{"waiver of every instance", verify.WaiverWrong, func(j job, _ plan) {
		j.Waivers = append(j.Waivers, scheduler.Waiver{
			From: scheduler.Point{Step: "paint", End: scheduler.Finish}, To: scheduler.Point{Step: "tidy.sweep"}, By: "kim", Reason: "it is clean",
		})
	}},
	{"set aside for nothing", verify.DroppedAlone, func(_ job, p plan) { plannedWait(p, "board", "paint").Dropped = true }},
	{"set aside in a set of others", verify.DroppedAlone, func(_ job, p plan) {
		plannedWait(p, "board", "paint").Dropped = true
		p.Contradictions = []scheduler.Contradiction{{Statements: []scheduler.Statement{{Text: "another", Steps: []scheduler.ID{"dig", "frame"}}}}}
	}},
	{"not its from end", verify.OpensWrong, func(_ job, p plan) { plannedWait(p, "board", "paint").Opens = at(5, 15) }},
	{"said to hold", verify.TightWrong, func(_ job, p plan) { plannedWait(p, "door.making", "door.delivery").Tight = false }},
	{"said not to hold", verify.TightWrong, func(_ job, p plan) { plannedWait(p, "dig", "frame").Tight = true }},
	{"sets aside what it does not name", verify.Contradictory, func(_ job, p plan) {
		p.Contradictions = []scheduler.Contradiction{{Statements: []scheduler.Statement{{Text: "one"}}, Dropped: 1}}
	}},
	{"without words", verify.Contradictory, func(_ job, p plan) {
		p.Contradictions = []scheduler.Contradiction{{Statements: []scheduler.Statement{{}}, Dropped: -1}}
	}},
	{"of unknown steps", verify.Contradictory, func(_ job, p plan) {
		p.Contradictions = []scheduler.Contradiction{{Statements: []scheduler.Statement{{Text: "one", Steps: []scheduler.ID{"dug"}}}, Dropped: -1}}
	}},
	{"set aside without need", verify.NoContradiction, func(j job, p plan) {
		w := waitBetween(j, "board", "paint")
		p.Contradictions = []scheduler.Contradiction{{Statements: []scheduler.Statement{
			{Text: "the cure, at most", Line: w.Pos.Line, Column: w.Pos.Column, Steps: []scheduler.ID{"board", "paint"}},
		}}}
	}},
	{"the others cannot hold either", verify.NoContradiction, func(j job, p plan) {
		w := waitBetween(j, "board", "paint")
		*w.Most = worktime.Span{Amount: 1, Unit: worktime.Hours}
		w.Least = worktime.Span{Amount: 2, Unit: worktime.Days}
		p.Contradictions = []scheduler.Contradiction{{Statements: []scheduler.Statement{
			{Text: "the pin", Line: j.Pins[0].Pos.Line, Column: j.Pins[0].Pos.Column, Steps: []scheduler.ID{"hang"}},
			{Text: "the cure, at most", Line: w.Pos.Line, Column: w.Pos.Column, Steps: []scheduler.ID{"board", "paint"}},
		}}}
	}},
	{"a loop that is not named", verify.Unsolved, func(j job, _ plan) {
		j.Waits = append(j.Waits, scheduler.Wait{
			From: scheduler.Point{Step: "hang", End: scheduler.Finish}, To: scheduler.Point{Step: "door.delivery"},
			Least: worktime.Span{Amount: 1, Unit: worktime.Hours},
		})
	}},

	{"another day", verify.PinBroken, func(j job, _ plan) { j.Pins[1].On = onDay(11) }},
	{"before its day", verify.PinBroken, func(j job, _ plan) { j.Pins[0].NotBefore = onDay(7) }},
	{"nobody can have been told", verify.NoticeShort, func(j job, _ plan) { j.Holds[0].Notice.Amount = 2 }},
	{"before the visit", verify.BookedBroken, func(j job, _ plan) { addFact(j, scheduler.Fact{Step: "seen", Booked: when(5)}) }},
	{"before it comes", verify.ExpectedBroken, func(j job, _ plan) { addFact(j, scheduler.Fact{Step: "door.delivery", Expected: when(6)}) }},

	{"one crew in two places", verify.CrewsShort, func(_ job, p plan) { move(p, "roof.sweep", at(10, 8), at(10, 10)) }},
	{"two gangs of two crews each", verify.CrewsShort, func(j job, p plan) {
		j.Trades[1].Crews = 2
		j.Typicals[0].Tasks[0].Crews = 2
		move(p, "roof.sweep", at(10, 8), at(10, 10))
	}},
	{"beside the staging", verify.RoomShort, func(j job, _ plan) { task(j, "hang").Places = []scheduler.ID{"wall"} }},
	{"admitted before the staging is up", verify.RoomShort, func(j job, p plan) {
		task(j, "hang").Places = []scheduler.ID{"wall"}
		j.Occupations[0].Admits = []scheduler.ID{"hang"}
		move(p, "hang", at(4, 8), at(4, 16))
	}},
	{"somebody in the house", verify.NotAlone, func(_ job, p plan) { move(p, "hang", at(9, 8), at(9, 16)) }},
	{"one lift in two places", verify.GearShort, func(_ job, p plan) { move(p, "hang", at(5, 8), at(5, 16)) }},
	{"lift is held", verify.GearShort, func(j job, _ plan) {
		j.Occupations[0] = scheduler.Occupation{ID: "kept", Gear: "lift", From: "board", To: "paint"}
	}},
	{"place is held", verify.OccupiedOver, func(j job, _ plan) {
		j.Occupations[0].Alone = true // hang is in the house, around the wall
	}},

	{"earlier than can be", verify.EarliestWrong, func(_ job, p plan) { p.FindStep("board").EarliestStart = at(4, 8) }},
	{"later than need be", verify.EarliestWrong, func(_ job, p plan) { p.FindStep("wall.sweep").EarliestFinish = at(10, 12) }},
	{"pin not looked at", verify.EarliestWrong, func(j job, _ plan) { j.Pins[0].NotBefore = onDay(7) }},
	{"planned before it can be", verify.TooEarly, func(_ job, p plan) { move(p, "hang", at(5, 8), at(5, 16)) }},
	{"too late for the due day", verify.LatestWrong, func(_ job, p plan) { p.FindStep("roof.sweep").LatestFinish = at(13, 10) }},
	{"earlier than need be", verify.LatestWrong, func(_ job, p plan) { p.FindStep("hang").LatestStart = at(11, 8) }},
	{"due day not looked at", verify.LatestWrong, func(j job, _ plan) { j.Dues[0].On = *onDay(20) }},
	{"start", verify.FloatWrong, func(_ job, p plan) { p.FindStep("hang").StartFloat++ }},
	{"finish", verify.FloatWrong, func(_ job, p plan) { p.FindStep("hang").FinishFloat++ }},
	{"total", verify.FloatWrong, func(_ job, p plan) { p.FindStep("hang").TotalFloat++ }},
	{"free", verify.FloatWrong, func(_ job, p plan) { p.FindStep("board").FreeFloat += 60 }},
	{"not critical", verify.CriticalWrong, func(_ job, p plan) { p.FindStep("hang").Critical = true }},
	{"near-critical", verify.CriticalWrong, func(_ job, p plan) { s := p.FindStep("hang"); s.NearCritical = !s.NearCritical }},
	{"figure", verify.SlackWrong, func(_ job, p plan) { p.FindStep("hang").Slack++ }},
	{"free figure", verify.SlackWrong, func(_ job, p plan) { p.FindStep("hang").FreeSlack++ }},
	{"waits are in the way", verify.FreeMoves, func(_ job, p plan) { free(p, "frame", at(5, 16), 480) }},
	{"somebody has the lift", verify.FreeMoves, func(_ job, p plan) { free(p, "board", at(6, 10), 120) }},
	{"its crew is elsewhere", verify.FreeMoves, func(_ job, p plan) { free(p, "wall.sweep", at(10, 11), 60) }},
	{"its pin", verify.FreeMoves, func(_ job, p plan) { free(p, "paint", at(10, 16), 480) }},

	{"margin", verify.DueWrong, func(_ job, p plan) { p.Dues[0].Margin = 0 }},
	{"missed", verify.DueWrong, func(_ job, p plan) { p.Dues[0].Missed = true }},
	{"left out", verify.DueWrong, func(_ job, p plan) { p.Dues = nil }},
	{"another", verify.DueWrong, func(_ job, p plan) { p.Dues[0].ID = "other" }},
	{"invented", verify.DueWrong, func(_ job, p plan) { p.Dues = append(p.Dues, p.Dues[0]) }},
	{"left out", verify.CoverWrong, func(_ job, p plan) { p.Covers = nil }},
	{"another", verify.CoverWrong, func(_ job, p plan) { p.Covers[0].Layer = "other" }},
	{"invented", verify.CoverWrong, func(_ job, p plan) { p.Covers = append(p.Covers, p.Covers[0]) }},
	{"seen", verify.CoverWrong, func(_ job, p plan) { p.Covers[0].Unseen = nil }},
	{"limit", verify.CoverWrong, func(_ job, p plan) { late := at(30, 8); p.Covers[0].Limit = &late }},
	{"laid", verify.CoverWrong, func(_ job, p plan) { p.Covers[0].Laid = at(4, 8) }},
	{"left out", verify.HoldWrong, func(_ job, p plan) { p.Holds = p.Holds[1:] }},
	{"another", verify.HoldWrong, func(_ job, p plan) { p.Holds[0].ID = "other" }},
	{"invented", verify.HoldWrong, func(_ job, p plan) { p.Holds = append(p.Holds, p.Holds[0]) }},
	{"witness", verify.HoldWrong, func(_ job, p plan) { p.Holds[0].Witness = true }},
	{"need-by", verify.HoldWrong, func(_ job, p plan) { p.Holds[0].NeedBy = at(6, 8) }},
	{"margin", verify.HoldWrong, func(_ job, p plan) { p.Holds[0].Margin = 480 }},
	{"tell-by", verify.HoldWrong, func(_ job, p plan) { p.Holds[0].TellBy = nil }},
	{"booked", verify.HoldWrong, func(_ job, p plan) { day := at(4, 8); p.Holds[0].Booked = &day }},
	{"holds up nobody", verify.HoldWrong, func(_ job, p plan) { p.Holds[0].Holds = nil }},
	{"left out", verify.OrderWrong, func(_ job, p plan) { p.Orders = nil }},
	{"another", verify.OrderWrong, func(_ job, p plan) { p.Orders[0].ID = "other" }},
	{"invented", verify.OrderWrong, func(_ job, p plan) { p.Orders = append(p.Orders, p.Orders[0]) }},
	{"need-by, with all that follows from it", verify.OrderWrong, func(_ job, p plan) {
		o := &p.Orders[0]
		o.NeedBy, o.OrderBy, o.Margin = at(9, 8), at(5, 8), 480
	}},
	{"placed", verify.OrderWrong, func(_ job, p plan) { p.Orders[0].Planned = at(3, 8) }},
	{"order-by", verify.OrderWrong, func(_ job, p plan) { p.Orders[0].OrderBy = at(3, 8) }},
	{"need-by", verify.OrderWrong, func(_ job, p plan) { p.Orders[0].NeedBy = at(9, 8) }},
	{"margin", verify.OrderWrong, func(_ job, p plan) { p.Orders[0].Margin++ }},
	{"first use", verify.OrderWrong, func(_ job, p plan) { p.Orders[0].FirstUse = "paint" }},
	{"come but waiting", verify.OrderWrong, func(j job, _ plan) { addFact(j, scheduler.Fact{Step: "door.delivery", Released: when(3)}) }},
	{"left out", verify.WindowWrong, func(_ job, p plan) { p.Windows = p.Windows[1:] }},
	{"twice", verify.WindowWrong, func(_ job, p plan) { p.Windows = append(p.Windows, p.Windows[0]) }},
	{"left out where nobody else comes", verify.WindowWrong, func(_ job, p plan) {
		p.Windows = slices.DeleteFunc(p.Windows, func(w scheduler.Window) bool { return w.Place == "house" })
	}},
	{"under another's name", verify.WindowWrong, func(_ job, p plan) { p.Windows[1].ID = p.Windows[0].ID }},
	{"with a step of others", verify.WindowWrong, func(_ job, p plan) { p.Windows[0].Steps = append(p.Windows[0].Steps, "paint") }},
	{"earliest", verify.WindowWrong, func(_ job, p plan) { p.Windows[1].Earliest = at(4, 8) }},
	{"until", verify.WindowWrong, func(_ job, p plan) { p.Windows[0].Until = at(30, 8) }},
	{"out before the work is done", verify.WindowWrong, func(_ job, p plan) { p.Windows[0].OutForOthers = at(3, 8) }},
	{"out for the dues", verify.WindowWrong, func(_ job, p plan) { p.Windows[0].OutForDue = at(30, 8) }},
	{"tell-by", verify.WindowWrong, func(_ job, p plan) { p.Windows[0].TellBy = p.Windows[0].TellBy.Add(time.Hour) }},
	{"done before it", verify.WindowWrong, func(_ job, p plan) { p.Windows[0].Before = []scheduler.ID{"birch"} }},
	{"follows it", verify.WindowWrong, func(_ job, p plan) { p.Windows[len(p.Windows)-1].After = []scheduler.ID{"alder"} }},

	{"no reason", verify.DriverMissing, func(_ job, p plan) { p.FindStep("board").Drivers = nil }},
	{"nothing that explains", verify.DriverMissing, func(_ job, p plan) {
		p.FindStep("frame").Drivers = []scheduler.Driver{{Kind: scheduler.ByFact, Text: "started"}}
	}},
	{"a wait that is not", verify.DriverWrong, func(_ job, p plan) { p.FindStep("board").Drivers[0].Step = "hang" }},
	{"a limit not shared", verify.DriverWrong, func(_ job, p plan) {
		p.FindStep("seen").Drivers = []scheduler.Driver{{Kind: scheduler.ByLimit, Step: "door.making", Text: "a limit"}}
	}},
	{"not held by as of", verify.DriverWrong, func(_ job, p plan) {
		p.FindStep("hang").Drivers = []scheduler.Driver{{Kind: scheduler.ByAsOf, Text: "as of"}}
	}},
	{"not held by the job's start", verify.DriverWrong, func(_ job, p plan) {
		p.FindStep("hang").Drivers = []scheduler.Driver{{Kind: scheduler.ByStart, Text: "start"}}
	}},
	{"no such pin", verify.DriverWrong, func(_ job, p plan) {
		p.FindStep("door.making").Drivers = []scheduler.Driver{{Kind: scheduler.ByPin, Text: "pinned"}}
	}},
	{"no fact", verify.DriverWrong, func(_ job, p plan) {
		p.FindStep("hang").Drivers = []scheduler.Driver{{Kind: scheduler.ByFact, Text: "recorded"}}
	}},
	{"no order to hold back", verify.DriverWrong, func(_ job, p plan) {
		p.FindStep("hang").Drivers = []scheduler.Driver{{Kind: scheduler.ByHeld, Text: "held back"}}
	}},
	{"done, and not where a plan had it", verify.DriverWrong, func(_ job, p plan) {
		p.FindStep("dig").Drivers = []scheduler.Driver{{Kind: scheduler.ByBefore, Text: "the plan before had it here"}}
	}},
	{"does not hold itself", verify.DriverWrong, func(_ job, p plan) {
		s := p.FindStep("board")
		s.Drivers = append(s.Drivers, scheduler.Driver{Kind: scheduler.ByEachOther, Text: "each other"})
	}},
	{"ends too early", verify.DrivingWrong, func(_ job, p plan) { p.Driving = p.Driving[:len(p.Driving)-1] }},
	{"a gap", verify.DrivingWrong, func(_ job, p plan) { p.Driving = append(p.Driving[:1:1], p.Driving[2:]...) }},
	{"begins in the middle", verify.DrivingWrong, func(_ job, p plan) { p.Driving = p.Driving[1:] }},
	{"through an unknown step", verify.DrivingWrong, func(_ job, p plan) { p.Driving[0] = "dug" }},
	{"empty", verify.DrivingWrong, func(_ job, p plan) { p.Driving = nil }},
	{"left out", verify.NeedWrong, func(_ job, p plan) { p.FindStep("board").Needs = p.FindStep("board").Needs[1:] }},
	{"another", verify.NeedWrong, func(_ job, p plan) { p.FindStep("board").Needs[0].Step = "hang" }},
	{"invented", verify.NeedWrong, func(_ job, p plan) {
		s := p.FindStep("board")
		s.Needs = append(s.Needs, scheduler.Need{Step: "hang", Text: "the door hangs"})
	}},
	{"met too early", verify.NeedWrong, func(_ job, p plan) {
		for k := range p.FindStep("board").Needs {
			p.FindStep("board").Needs[k].Met = true
		}
	}},
}

// free claims that a step may finish so much later without anybody moving.
func free(p plan, id scheduler.ID, until time.Time, minutes int64) {
	s := p.FindStep(id)
	s.PlanFree, s.FreeSlack = until, minutes
}
