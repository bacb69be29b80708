package rules_test

import (
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/rules"
)

func TestOrders(t *testing.T) {
	check(t, []spoiling{
		{"no title", func(j *scheduler.Job) { j.Orders[0].Title = "" }, "title", `order "windows" has no title`},
		{"unknown supplier", func(j *scheduler.Job) { j.Orders[0].Supplier = "glazing-work" }, "supplier", `order "windows" names the trade or person "glazing-work", which is not under trades or people; did you mean "glazing-works"?`},
		{"unknown receiver", func(j *scheduler.Job) { j.Orders[0].Receives = "nobody" }, "receives", `order "windows" names the trade or person "nobody"`},
		{"unknown place", func(j *scheduler.Job) { j.Orders[0].Places = ids{"gardn"} }, "places", `order "windows" names the place "gardn"`},
		{"unknown gear", func(j *scheduler.Job) { j.Orders[0].Gear = ids{"lifts"} }, "gear", `order "windows" names the gear "lifts", which is not under gear; did you mean "lift"?`},
		{"elapsed unloading", func(j *scheduler.Job) { j.Orders[0].Unload = span("2 elapsed hours") }, "unload", `order "windows" has the elapsed time 2 elapsed hours for "unload"`},
		{"kept for ever", func(j *scheduler.Job) { j.Orders[0].Keep = span("30000 days") }, "keep", `order "windows" has 30000 days for "keep", which is too long`},
		{"unknown caution", func(j *scheduler.Job) { j.Orders[0].Cautions = []scheduler.Caution{"weight"} }, "cautions", `order "windows" has the caution "weight"`},
		{"stand-in of two lines", func(j *scheduler.Job) { j.Orders[0].StandIn = "a\nb" }, "stand-in", `order "windows" has several lines for its stand-in`},
		{"order twice", func(j *scheduler.Job) { j.Orders = append(j.Orders, scheduler.Order{ID: "windows", Title: "W"}) }, "", `order "windows" is there twice under orders`},
		{"stage without a title", func(j *scheduler.Job) { j.Orders[0].Stages[0].Title = "" }, "title", `stage "drawing" of order "windows" has no title`},
		{"stage by nobody known", func(j *scheduler.Job) { j.Orders[0].Stages[1].By = "boo" }, "by", `stage "approval" of order "windows" names the trade or person "boo"`},
		{"stage without an end", func(j *scheduler.Job) { j.Orders[0].Stages[0].Takes = span("90000 weeks") }, "takes", `stage "drawing" of order "windows" has 90000 weeks for "takes"`},
		{"stage called delivery", func(j *scheduler.Job) {
			j.Orders[0].Stages = append(j.Orders[0].Stages, scheduler.Stage{ID: "delivery", Title: "D"})
		}, "", `stage "delivery" of order "windows" has the name of the hold point in which every order ends`},
		{"stage twice", func(j *scheduler.Job) {
			j.Orders[0].Stages = append(j.Orders[0].Stages, scheduler.Stage{ID: "drawing", Title: "D"})
		}, "", `order step "windows.drawing" makes a step called "windows.drawing", which is there already (a stage)`},
		{"stage of an odd name", func(j *scheduler.Job) {
			j.Orders[0].Stages = append(j.Orders[0].Stages, scheduler.Stage{ID: "To site", Title: "D"})
		}, "", `stage "To site" of order "windows" has a name that cannot be one`},
	})
}

func TestTypicals(t *testing.T) {
	another := func(id scheduler.ID, places ...scheduler.ID) scheduler.Typical {
		return scheduler.Typical{ID: id, Title: "T", Places: places, Tasks: []scheduler.Task{{ID: "set", Title: "S"}}}
	}
	check(t, []spoiling{
		{"no title", func(j *scheduler.Job) { j.Typicals[0].Title = "" }, "title", `typical "openings" has no title`},
		{"unknown place", func(j *scheduler.Job) { j.Typicals = append(j.Typicals, another("doors", "door-n1")) }, "places", `typical "doors" names the place "door-n1"`},
		{"no place", func(j *scheduler.Job) { j.Typicals = append(j.Typicals, another("doors")) }, "places", `typical "doors" has no place where it is repeated`},
		{"place twice", func(j *scheduler.Job) { j.Typicals = append(j.Typicals, another("doors", "site", "site")) }, "places", `typical "doors" names "site" twice under places`},
		{"nothing to repeat", func(j *scheduler.Job) {
			j.Typicals = append(j.Typicals, scheduler.Typical{ID: "doors", Title: "D", Places: ids{"site"}})
		}, "tasks", `typical "doors" has no tasks and no holds to repeat`},
		{"typical twice", func(j *scheduler.Job) {
			j.Typicals = append(j.Typicals, scheduler.Typical{ID: "openings", Title: "D", Places: ids{"site"}, Tasks: []scheduler.Task{{ID: "other", Title: "O"}}})
		}, "", `typical "openings" is there twice under typicals`},
		{"local name twice", func(j *scheduler.Job) {
			j.Typicals[0].Holds[0].ID = "pan"
			j.Typicals[0].Waits = nil
		}, "", `hold "pan" of typical "openings" is there twice in it`},
		{"local name that cannot be one", func(j *scheduler.Job) {
			j.Typicals[0].Tasks = append(j.Typicals[0].Tasks, scheduler.Task{ID: "Trim", Title: "T"})
		}, "", `task "Trim" of typical "openings" has a name that cannot be one`},
		{"local task without a title", func(j *scheduler.Job) { j.Typicals[0].Tasks[0].Title = "" }, "title", `task "pan" of typical "openings" has no title`},
		{"local task of an unknown trade", func(j *scheduler.Job) { j.Typicals[0].Tasks[0].Trades = ids{"x"} }, "trades", `task "pan" of typical "openings" names the trade "x"`},
		{"local task in an unknown place", func(j *scheduler.Job) { j.Typicals[0].Tasks[0].Places = ids{"roof"} }, "places", `task "pan" of typical "openings" names the place "roof"`},
		{"local hold by nobody", func(j *scheduler.Job) { j.Typicals[0].Holds[0].By = "" }, "by", `hold "opening-ready" of typical "openings" does not say who releases it`},
		{"two that make one step", func(j *scheduler.Job) { j.Typicals = append(j.Typicals, another("doors", "opening-n2")) }, "", `step "set" of typical "doors" makes a step called "opening-n2.set", which is there already (made by typical "openings")`},
		{"one that makes an order's step", func(j *scheduler.Job) {
			j.Typicals = append(j.Typicals, scheduler.Typical{ID: "windows", Title: "W", Places: ids{"site"}, Tasks: []scheduler.Task{{ID: "making", Title: "M"}}})
		}, "", `step "making" of typical "windows" makes a step called "windows.making", which is there already (a stage)`},
		{"wait of an unknown step", func(j *scheduler.Job) { j.Typicals[0].Waits[0].From.Step = "pann" }, "from", `wait from the finish of pann to the start of pan names the step "pann", which is not there; did you mean "pan"?`},
		{"wait that joins none of its steps", func(j *scheduler.Job) {
			j.Typicals[0].Waits = append(j.Typicals[0].Waits, wait(finish("frame"), start("clad")))
		}, "from", `wait from the finish of frame to the start of clad is written in typical "openings" and joins none of its steps; write it under the waits of the job`},
		{"wait twice", func(j *scheduler.Job) {
			j.Typicals[0].Waits = append(j.Typicals[0].Waits, j.Typicals[0].Waits[0])
		}, "", `wait from the finish of tape to the start of pan is there twice`},
		{"more than can be planned", func(j *scheduler.Job) {
			j.Typicals[0].Places = make(ids, 200_000)
		}, "places", `typical "openings" brings the job to 600010 steps; keep the job under 500000`},
	})
}

func TestBuildUps(t *testing.T) {
	layer := func(j *scheduler.Job, k int) *scheduler.Layer { return &j.BuildUps[0].Layers[k] }
	elsewhere := func(j *scheduler.Job) {
		j.Tasks = append(j.Tasks, scheduler.Task{ID: "dig", Title: "Dig", Work: scheduler.Work{Places: ids{"garden"}}})
	}
	check(t, []spoiling{
		{"no title", func(j *scheduler.Job) { j.BuildUps[0].Title = "" }, "title", `build-up "wall-skin" has no title`},
		{"outward of two lines", func(j *scheduler.Job) { j.BuildUps[0].Outward = "a\nb" }, "outward", `build-up "wall-skin" has several lines for its outward`},
		{"no place", func(j *scheduler.Job) { j.BuildUps[0].Places = nil }, "places", `build-up "wall-skin" has no place where it is built`},
		{"unknown place", func(j *scheduler.Job) { j.BuildUps[0].Places = ids{"wall-nrth"} }, "places", `build-up "wall-skin" names the place "wall-nrth"`},
		{"no layers", func(j *scheduler.Job) { j.BuildUps[0].Layers, j.Waivers = nil, nil }, "layers", `build-up "wall-skin" has no layers`},
		{"build-up twice", func(j *scheduler.Job) { j.BuildUps = append(j.BuildUps, j.BuildUps[0]) }, "", `build-up "wall-skin" is there twice under build-ups`},
		{"layer twice", func(j *scheduler.Job) { layer(j, 1).ID = "sheathing" }, "", `layer "sheathing" of build-up "wall-skin" is there twice in it`},
		{"layer of an odd name", func(j *scheduler.Job) { layer(j, 1).ID = "x_y" }, "", `layer "x_y" of build-up "wall-skin" has a name that cannot be one`},
		{"layer without a title", func(j *scheduler.Job) { layer(j, 0).Title = "" }, "title", `layer "sheathing" of build-up "wall-skin" has no title`},
		{"material of two lines", func(j *scheduler.Job) { layer(j, 0).Material = "a\nb" }, "material", `layer "sheathing" of build-up "wall-skin" has several lines for its material`},
		{"thinner than nothing", func(j *scheduler.Job) { layer(j, 0).Thickness = -1 }, "thickness", `layer "sheathing" of build-up "wall-skin" is -1 mm thick`},
		{"put on by nobody", func(j *scheduler.Job) { layer(j, 2).By = "" }, "by", `layer "boards" of build-up "wall-skin" is put on by no task; name under by the task`},
		{"put on by an unknown task", func(j *scheduler.Job) { layer(j, 2).By = "cladd" }, "by", `layer "boards" of build-up "wall-skin" names the step "cladd", which is not there; did you mean "clad"?`},
		{"put on by a hold", func(j *scheduler.Job) { layer(j, 2).By = "windows-seen" }, "by", `layer "boards" of build-up "wall-skin" is put on by "windows-seen", which is a hold and no task`},
		{"put on by a stage", func(j *scheduler.Job) { layer(j, 2).By = "windows.making" }, "by", `layer "boards" of build-up "wall-skin" is put on by "windows.making", which is a stage and no task`},
		{"put on elsewhere", func(j *scheduler.Job) { elsewhere(j); layer(j, 2).By = "dig" }, "by", `layer "boards" of build-up "wall-skin" is put on at "wall-north" by "dig", which works at "garden"`},
		{"put on by a typical that is at other places", func(j *scheduler.Job) { layer(j, 2).By = "openings.set" }, "by", `layer "boards" of build-up "wall-skin" is put on at "wall-north" by "openings.set", which is 2 steps at other places`},
		{"put on by an instance elsewhere", func(j *scheduler.Job) {
			j.BuildUps[0].Places, j.Waivers = ids{"opening-n1"}, nil
			layer(j, 2).By = "opening-n2.set"
		}, "by", `layer "boards" of build-up "wall-skin" is put on at "opening-n1" by "opening-n2.set", which works at "opening-n2"`},
		{"seen at an unknown hold", func(j *scheduler.Job) { layer(j, 0).Seen = ids{"frame-sen"} }, "seen", `layer "sheathing" of build-up "wall-skin" names the step "frame-sen", which is not there; did you mean "frame-seen"?`},
		{"seen at a task", func(j *scheduler.Job) { layer(j, 0).Seen = ids{"strike"} }, "seen", `layer "sheathing" of build-up "wall-skin" is to be seen at "strike", which is a task and no hold`},
		{"seen twice", func(j *scheduler.Job) { layer(j, 0).Seen = ids{"frame-seen", "frame-seen"} }, "seen", `layer "sheathing" of build-up "wall-skin" names "frame-seen" twice under seen`},
		{"cures for ever", func(j *scheduler.Job) { layer(j, 0).Cure = span("90000 weeks") }, "cure", `layer "sheathing" of build-up "wall-skin" has 90000 weeks for "cure"`},
		{"working exposure", func(j *scheduler.Job) { layer(j, 1).Exposed = spanAt("90 days") }, "exposed", `layer "tape" of build-up "wall-skin" has the working time 90 days for "exposed", which counts real time; write it as elapsed, for instance 90 elapsed days`},
		{"no exposure at all", func(j *scheduler.Job) { layer(j, 0).Exposed = spanAt("0 elapsed days") }, "exposed", `layer "sheathing" of build-up "wall-skin" may not stay open at all`},
		{"cures longer than it may stay open", func(j *scheduler.Job) { layer(j, 1).Cure = span("13 elapsed weeks") }, "exposed", `layer "tape" of build-up "wall-skin" cures for 13 elapsed weeks and may stay open for 90 elapsed days only`},
		{"last layer, exposed", func(j *scheduler.Job) { layer(j, 2).Exposed = spanAt("9 elapsed days") }, "exposed", `layer "boards" of build-up "wall-skin" is the last one and has an exposure limit`},
		{"last layer, seen", func(j *scheduler.Job) { layer(j, 2).Seen = ids{"frame-seen"} }, "seen", `layer "boards" of build-up "wall-skin" is the last one and is to be seen before cover`},
		{"last layer, cured", func(j *scheduler.Job) { layer(j, 2).Cure = span("1 day") }, "cure", `layer "boards" of build-up "wall-skin" is the last one and cures before cover`},
		{"more than can be planned", func(j *scheduler.Job) { j.BuildUps[0].Places = make(ids, 200_000) }, "places", `build-up "wall-skin" has 600000 layers in all its places`},
	})
	// A layer may be put on by a step that works around the place, within it, or nowhere in particular.
	for _, by := range []scheduler.ID{"frame", "opening-n1.set", "anywhere"} {
		job := sound(t)
		job.Tasks = append(job.Tasks, scheduler.Task{ID: "anywhere", Title: "A"})
		layer(job, 2).By = by
		if faults := rules.Check(job); len(faults) > 0 {
			t.Errorf("by %s: %v", by, faults)
		}
	}
}

func TestWaits(t *testing.T) {
	add := func(w scheduler.Wait) func(*scheduler.Job) {
		return func(j *scheduler.Job) { j.Waits = append(j.Waits, w) }
	}
	with := func(w scheduler.Wait, change func(*scheduler.Wait)) scheduler.Wait {
		change(&w)
		return w
	}
	plain := wait(start("clad"), finish("strike"))
	check(t, []spoiling{
		{"from nothing", add(wait(scheduler.Point{}, start("clad"))), "from", `wait from the start of  to the start of clad does not say which step under "from"`},
		{"from an unknown step", add(wait(start("frme"), start("clad"))), "from", `wait from the start of frme to the start of clad names the step "frme", which is not there; did you mean "frame"?`},
		{"to an unknown step", add(wait(start("frame"), start("roof"))), "to", `wait from the start of frame to the start of roof names the step "roof", which is not there; name a task, a hold`},
		{"from an order", add(wait(finish("windows"), start("clad"))), "from", `wait from the finish of windows to the start of clad names the order "windows" where a step is needed; name one of its steps, for instance "windows.delivery"`},
		{"from a typical", add(wait(finish("openings"), start("strike"))), "from", `wait from the finish of openings to the start of strike names the typical "openings" where a step is needed; name one of its steps, for instance "openings.pan"`},
		{"from a local name", add(wait(finish("pan"), start("clad"))), "from", `wait from the finish of pan to the start of clad names the step "pan", which is not there`},
		{"for itself", add(wait(start("clad"), finish("clad"))), "from", `wait from the start of clad to the finish of clad waits for itself`},
		{"every instance for itself", add(wait(start("openings.set"), finish("openings.set"))), "from", `wait from the start of openings.set to the finish of openings.set waits for itself`},
		{"every instance for one of them", add(wait(finish("openings.set"), start("opening-n2.set"))), "from", `wait from the finish of openings.set to the start of opening-n2.set waits for itself`},
		{"unknown reason", add(with(plain, func(w *scheduler.Wait) { w.Reason = "curing" })), "reason", `wait from the start of clad to the finish of strike has the reason "curing", which is none of those known; write one of: cure,`},
		{"note with a bell", add(with(plain, func(w *scheduler.Wait) { w.Note = "\a" })), "note", `wait from the start of clad to the finish of strike has the control character U+0007 in its note`},
		{"source of two lines", add(with(plain, func(w *scheduler.Wait) { w.Source = "a\nb" })), "source", `wait from the start of clad to the finish of strike has several lines for its source`},
		{"least without an end", add(with(plain, func(w *scheduler.Wait) { w.Least = span("90000 weeks") })), "least", `wait from the start of clad to the finish of strike has 90000 weeks for "least"`},
		{"most without an end", add(with(plain, func(w *scheduler.Wait) { w.Most = spanAt("90000 weeks") })), "most", `wait from the start of clad to the finish of strike has 90000 weeks for "most"`},
		{"most below least", add(with(plain, func(w *scheduler.Wait) { w.Least, w.Most = span("2 weeks"), spanAt("9 days") })), "most", `wait from the start of clad to the finish of strike is at most 9 days, which is less than its least of 2 weeks`},
		{"most below least, elapsed", add(with(plain, func(w *scheduler.Wait) { w.Least, w.Most = span("2 elapsed days"), spanAt("47 elapsed hours") })), "most", `wait from the start of clad to the finish of strike is at most 47 elapsed hours`},
		{"twice", func(j *scheduler.Job) { j.Waits = append(j.Waits, plain, plain) }, "", `wait from the start of clad to the finish of strike is there twice; leave one of them out`},
	})
	sounds := []scheduler.Wait{
		with(plain, func(w *scheduler.Wait) { w.Least, w.Most = span("9 days"), spanAt("9 elapsed days") }), // not comparable
		with(plain, func(w *scheduler.Wait) { w.Least, w.Most = span("1 day"), spanAt("8 hours") }),         // the same
		with(plain, func(w *scheduler.Wait) { w.Least = span("1 day") }),                                    // other terms
		wait(finish("opening-n1.set"), start("opening-n2.set")),                                             // one opening after the other
		wait(finish("openings.pan"), start("windows.delivery")),
	}
	job := sound(t)
	job.Waits = append(job.Waits, sounds...)
	if faults := rules.Check(job); len(faults) > 0 {
		t.Error(faults)
	}
}

func TestOccupations(t *testing.T) {
	check(t, []spoiling{
		{"no title", func(j *scheduler.Job) { j.Occupations[0].Title = "" }, "title", `occupation "staging" has no title`},
		{"occupation twice", func(j *scheduler.Job) { j.Occupations[1].ID = "staging" }, "", `occupation "staging" is there twice under occupations`},
		{"of nothing", func(j *scheduler.Job) { j.Occupations[0].Place = "" }, "place", `occupation "staging" holds neither a place nor gear`},
		{"of two things", func(j *scheduler.Job) { j.Occupations[0].Gear = "lift" }, "gear", `occupation "staging" holds both a place and gear`},
		{"unknown place", func(j *scheduler.Job) { j.Occupations[0].Place = "wall" }, "place", `occupation "staging" names the place "wall"`},
		{"unknown gear", func(j *scheduler.Job) { j.Occupations[1].Gear = "lyft" }, "gear", `occupation "lift-on-site" names the gear "lyft", which is not under gear; did you mean "lift"?`},
		{"gear, alone", func(j *scheduler.Job) { j.Occupations[1].Alone = true }, "alone", `occupation "lift-on-site" holds gear and says who else may be there`},
		{"gear that admits", func(j *scheduler.Job) { j.Occupations[1].Admits = ids{"clad"} }, "admits", `occupation "lift-on-site" holds gear and says who else may be there`},
		{"better than best", func(j *scheduler.Job) { task(j, "frame").Spread.Best = span("7 days") }, "at-best", `task "frame" takes 6 days and at best 7 days; let what it usually takes lie between`},
		{"worse than worst", func(j *scheduler.Job) { task(j, "frame").Spread.Worst = span("5 days") }, "at-worst", `task "frame" takes 6 days and at worst 5 days`},
		{"worst of another kind", func(j *scheduler.Job) { task(j, "frame").Spread.Worst = span("20 elapsed days") }, "at-worst", `task "frame" takes 6 days and at worst 20 elapsed days, which are of different kinds of time`},
		{"worst for ever", func(j *scheduler.Job) { task(j, "frame").Spread.Worst = span("2000 weeks") }, "at-worst", `task "frame" has 2000 weeks for "at-worst", which is too long`},
		{"a stage better than best", func(j *scheduler.Job) { j.Orders[0].Stages[2].Spread.Best = span("6 weeks") }, "at-best", `stage "making" of order "windows" takes 4 weeks and at best 6 weeks`},
		{"sheet without title", func(j *scheduler.Job) { j.Drawings[0].Title = " " }, "title", `drawing "a-12" has no title`},
		{"sheet of nothing", func(j *scheduler.Job) { j.Drawings[1].Steps = nil }, "places", `drawing "a-31" shows nothing`},
		{"sheet twice", func(j *scheduler.Job) { j.Drawings[1].ID = "a-12" }, "", `drawing "a-12" is there twice under drawings`},
		{"sheet of no place", func(j *scheduler.Job) { j.Drawings[0].Places = ids{"wall-norht"} }, "places", `drawing "a-12" names the place "wall-norht", which is not under places; did you mean "wall-north"?`},
		{"sheet of no step", func(j *scheduler.Job) { j.Drawings[1].Steps = ids{"roof"} }, "steps", `drawing "a-31" names the step "roof"`},
		{"sheet of a step twice", func(j *scheduler.Job) { j.Drawings[1].Steps = ids{"clad", "clad"} }, "steps", `drawing "a-31" names "clad" twice under steps`},
		{"sent out in no revision", func(j *scheduler.Job) { j.Drawings[0].Revision = "" }, "on", `drawing "a-12" says when it was sent out and not in which revision`},
		{"sent out on no day", func(j *scheduler.Job) { j.Drawings[0].On = dateAt("0001-01-01") }, "on", `drawing "a-12"`},
		{"words on two lines", func(j *scheduler.Job) { j.Site.Parking = "here\nthere" }, "parking", `job "garden-studio" has several lines for its parking`},
		{"from many", func(j *scheduler.Job) { j.Occupations[0].From = "openings.pan" }, "from", `occupation "staging" names 2 steps with "openings.pan" where one is needed; name one of them, for instance "opening-n1.pan"`},
		{"to nothing", func(j *scheduler.Job) { j.Occupations[0].To = "" }, "to", `occupation "staging" does not say which step under "to"`},
		{"admits the unknown", func(j *scheduler.Job) { j.Occupations[0].Admits = ids{"roof"} }, "admits", `occupation "staging" names the step "roof"`},
		{"admits twice", func(j *scheduler.Job) { j.Occupations[0].Admits = ids{"clad", "clad"} }, "admits", `occupation "staging" names "clad" twice under admits`},
	})
}

func TestDuesPinsAsides(t *testing.T) {
	check(t, []spoiling{
		{"due without a title", func(j *scheduler.Job) { j.Dues[0].Title = "" }, "title", `due day "closed-in" has no title`},
		{"due twice", func(j *scheduler.Job) { j.Dues = append(j.Dues, j.Dues[0]) }, "", `due day "closed-in" is there twice under dues`},
		{"due of many", func(j *scheduler.Job) { j.Dues[0].Step = "openings.set" }, "step", `due day "closed-in" names 2 steps with "openings.set" where one is needed`},
		{"due too far away", func(j *scheduler.Job) { j.Dues[0].On = date("2226-06-30") }, "on", `due day "closed-in" has the day 2226-06-30 for "on"`},
		{"due before the job", func(j *scheduler.Job) { j.Dues[0].On = date("2026-03-01") }, "on", `due day "closed-in" is on 2026-03-01, before the job starts on 2026-03-02`},
		{"pin of the unknown", func(j *scheduler.Job) { j.Pins[0].Step = "claad" }, "step", `pin of "claad" names the step "claad", which is not there; did you mean "clad"?`},
		{"pin without a day", func(j *scheduler.Job) { j.Pins[1].On = nil }, "on", `pin of "strike" has no day`},
		{"pin with two days", func(j *scheduler.Job) { j.Pins[1].NotBefore = dateAt("2026-06-01") }, "not-before", `pin of "strike" has both on and not-before`},
		{"pin before the job", func(j *scheduler.Job) { j.Pins[1].On = dateAt("2026-02-01") }, "on", `pin of "strike" is on 2026-02-01, before the job starts`},
		{"pin too far away", func(j *scheduler.Job) { j.Pins[0].NotBefore = dateAt("1926-02-01") }, "not-before", `pin of "clad" has the day 1926-02-01 for "not-before"`},
		{"pin by nobody known", func(j *scheduler.Job) { j.Pins[0].By = "idda" }, "by", `pin of "clad" names the person "idda", which is not under people; did you mean "ida"?`},
		{"pin's reason of two lines", func(j *scheduler.Job) { j.Pins[0].Reason = "a\nb" }, "reason", `pin of "clad" has several lines for its reason`},
		{"pin twice", func(j *scheduler.Job) { j.Pins = append(j.Pins, j.Pins[0]) }, "step", `pin of "clad" is there twice`},
		{"aside of nothing", func(j *scheduler.Job) { j.Asides[0].Alert = "" }, "alert", `aside of "" does not say which alert it puts aside`},
		{"aside of two lines", func(j *scheduler.Job) { j.Asides[0].Alert = "a\nb" }, "alert", `aside of "a\nb" has several lines for its alert`},
		{"aside twice", func(j *scheduler.Job) { j.Asides = append(j.Asides, j.Asides[0]) }, "alert", `aside of "loose end: paint-inside" is there twice`},
		{"aside by nobody", func(j *scheduler.Job) { j.Asides[0].By = "" }, "by", `aside of "loose end: paint-inside" does not say who put it aside`},
		{"aside without a day", func(j *scheduler.Job) { j.Asides[0].On = 0 }, "on", `aside of "loose end: paint-inside" has the day 1970-01-01 for "on"`},
		{"aside without a reason", func(j *scheduler.Job) { j.Asides[0].Reason = " " }, "reason", `aside of "loose end: paint-inside" has no reason; write why`},
	})
}
