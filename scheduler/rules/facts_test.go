package rules_test

import (
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/rules"
	"gaugerod/scheduler/worktime"
)

func TestFacts(t *testing.T) {
	check(t, []spoiling{
		{"of the unknown", func(j *scheduler.Job) { fact(j, "frame").Step = "frames" }, "step", `fact of "frames" names the step "frames", which is not there; did you mean "frame"?`},
		{"of many", func(j *scheduler.Job) { fact(j, "frame").Step = "openings.pan" }, "step", `fact of "openings.pan" names 2 steps`},
		{"twice", func(j *scheduler.Job) { j.Facts = append(j.Facts, *fact(j, "frame")) }, "", `fact of "frame" is there twice`},
		{"nothing", func(j *scheduler.Job) { j.Facts = append(j.Facts, scheduler.Fact{Step: "strike"}) }, "", `fact of "strike" says nothing`},
		{"task released", func(j *scheduler.Job) { fact(j, "frame").Released = when("2026-04-08") }, "released", `fact of "frame" says released, and it is a task; a task or stage is started and done`},
		{"task refused", func(j *scheduler.Job) { fact(j, "frame").Refused = when("2026-04-08") }, "refused", `fact of "frame" says refused, and it is a task`},
		{"stage booked", func(j *scheduler.Job) { fact(j, "windows.making").Booked = when("2026-04-08") }, "booked", `fact of "windows.making" says booked, and it is a stage`},
		{"hold started", func(j *scheduler.Job) { fact(j, "frame-seen").Started = when("2026-04-08") }, "started", `fact of "frame-seen" says started, and it is a hold`},
		{"hold done", func(j *scheduler.Job) { fact(j, "frame-seen").Done = when("2026-04-08") }, "done", `fact of "frame-seen" says done, and it is a hold`},
		{"hold remaining", func(j *scheduler.Job) { fact(j, "frame-seen").Remaining = spanAt("1 hour") }, "remaining", `fact of "frame-seen" says how much remains, and it is a hold`},
		{"task measured", func(j *scheduler.Job) { fact(j, "frame").Measured = number(5) }, "measured", `fact of "frame" has a measured value, and it is no measure`},
		{"inspection measured", func(j *scheduler.Job) { fact(j, "frame-seen").Measured = number(5) }, "measured", `fact of "frame-seen" has a measured value, and it is no measure`},
		{"a kilometre measured", func(j *scheduler.Job) { fact(j, "sill-height").Measured = number(-2_000_000) }, "measured", `fact of "sill-height" has the measured value -2000000 mm`},
		{"remaining of what is done", func(j *scheduler.Job) { fact(j, "frame").Done = when("2026-04-10") }, "remaining", `fact of "frame" is done, and something of it remains`},
		{"remaining of what is not started", func(j *scheduler.Job) { fact(j, "frame").Started = nil }, "remaining", `fact of "frame" says how much remains and not when it was started`},
		{"nothing remaining", func(j *scheduler.Job) { fact(j, "frame").Remaining = spanAt("0 days") }, "remaining", `fact of "frame" is started and nothing of it remains; write done`},
		{"elapsed remaining of working time", func(j *scheduler.Job) { fact(j, "frame").Remaining = spanAt("3 elapsed days") }, "remaining", `fact of "frame" has 3 elapsed days remaining of a step that takes 6 days`},
		{"remaining for ever", func(j *scheduler.Job) { fact(j, "frame").Remaining = spanAt("90000 weeks") }, "remaining", `fact of "frame" has 90000 weeks for "remaining"`},
		{"after the as-of day", func(j *scheduler.Job) { fact(j, "frame").Started = when("2026-04-14") }, "started", `fact of "frame" says started on 2026-04-14, after the as-of day 2026-04-13; write a day that has been`},
		{"too far away", func(j *scheduler.Job) { fact(j, "frame-seen").Booked = when("2226-04-14") }, "booked", `fact of "frame-seen" has the day 2226-04-14 for "booked"`},
		{"too far back", func(j *scheduler.Job) { fact(j, "frame").Started = when("1926-04-14") }, "started", `fact of "frame" has the day 1926-04-14 for "started"`},
		{"time that no clock shows", func(j *scheduler.Job) {
			late := worktime.Clock(1500)
			fact(j, "frame-seen").Booked.Time = &late
		}, "booked", `fact of "frame-seen" has a time of day for "booked" that no clock shows`},
		{"done before started", func(j *scheduler.Job) { fact(j, "windows.drawing").Done = when("2026-03-05") }, "done", `fact of "windows.drawing" is done on 2026-03-05, before it is started on 2026-03-06 08:00`},
		{"done before started, the same day", func(j *scheduler.Job) { fact(j, "windows.drawing").Done = when("2026-03-06 07:59") }, "done", `fact of "windows.drawing" is done on 2026-03-06 07:59, before`},
		{"refused after released", func(j *scheduler.Job) { fact(j, "sill-height").Released = when("2026-04-09") }, "refused", `fact of "sill-height" is refused on 2026-04-10, after it was released on 2026-04-09`},
		{"released by nobody", func(j *scheduler.Job) { fact(j, "sizes-frozen").By = "" }, "by", `fact of "sizes-frozen" does not say who released it`},
		{"refused by a trade", func(j *scheduler.Job) { fact(j, "sill-height").By = "framing" }, "by", `fact of "sill-height" names the trade "framing" where a person is needed`},
		{"reported by nobody known", func(j *scheduler.Job) { fact(j, "frame").By = "kimm" }, "by", `fact of "frame" names the trade or person "kimm"`},
		{"note with a bell", func(j *scheduler.Job) { fact(j, "frame").Note = "\a" }, "note", `fact of "frame" has the control character U+0007 in its note`},
		{"evidence with a bell", func(j *scheduler.Job) { fact(j, "frame").Evidence = "\a" }, "evidence", `fact of "frame" has the control character U+0007 in its evidence`},
	})
	job := sound(t)
	fact(job, "windows.drawing").Done = when("2026-03-06") // the same day, at no known time
	fact(job, "frame").Started = when("2026-04-13 23:00")  // on the as-of day
	fact(job, "sill-height").Released = when("2026-04-11") // looked at again
	if faults := rules.Check(job); len(faults) > 0 {
		t.Error(faults)
	}
	job.AsOf = nil // no as-of day, so nothing is after it
	fact(job, "frame").Started = when("2026-05-13")
	if faults := rules.Check(job); len(faults) > 0 {
		t.Error(faults)
	}
}

func TestWaivers(t *testing.T) {
	first := func(change func(*scheduler.Waiver)) func(*scheduler.Job) {
		return func(j *scheduler.Job) { change(&j.Waivers[0]) }
	}
	ends := func(from, to scheduler.Point) func(*scheduler.Job) {
		return first(func(w *scheduler.Waiver) { w.From, w.To = from, to })
	}
	const of = `waiver of the wait from the `
	check(t, []spoiling{
		{"of the unknown", ends(finish("frames"), start("tape")), "from", of + `finish of frames to the start of tape names the step "frames"`},
		{"to the unknown", ends(finish("frame"), start("tapes")), "to", of + `finish of frame to the start of tapes names the step "tapes"`},
		{"of no wait", ends(finish("frame"), start("paint-inside")), "from", of + `finish of frame to the start of paint-inside waives nothing: there is no such wait; name the two ends`},
		{"of other ends", ends(finish("frame"), finish("tape")), "from", of + `finish of frame to the finish of tape waives nothing: there is no such wait; there is one from the finish of frame to the start of tape`},
		{"within a typical, at two places", ends(finish("opening-n1.pan"), start("opening-n2.set")), "from", of + `finish of opening-n1.pan to the start of opening-n2.set waives nothing`},
		{"twice", func(j *scheduler.Job) { j.Waivers = append(j.Waivers, j.Waivers[0]) }, "", of + `finish of frame to the start of tape is there twice`},
		{"by nobody", first(func(w *scheduler.Waiver) { w.By = "" }), "by", of + `finish of frame to the start of tape does not say who waives it`},
		{"without a day", first(func(w *scheduler.Waiver) { w.On = 0 }), "on", of + `finish of frame to the start of tape has the day 1970-01-01`},
		{"without a reason", first(func(w *scheduler.Waiver) { w.Reason = "" }), "reason", of + `finish of frame to the start of tape has no reason`},
	})
	for _, good := range [][2]scheduler.Point{
		{finish("openings.set"), start("clad")},         // as written
		{finish("opening-n1.set"), start("clad")},       // one of them
		{finish("openings.pan"), start("openings.set")}, // within a typical, every one
		{finish("opening-n2.pan"), start("opening-n2.set")},
		{finish("openings.pan"), start("opening-n2.set")},
		{finish("tape"), start("openings.pan")}, // into a typical
		{finish("tape"), start("opening-n2.pan")},
		{finish("windows.making"), start("windows.carriage")}, // an order's own
		{finish("windows.carriage"), start("windows.delivery")},
		{finish("tape"), start("clad")},       // between layers
		{start("tape"), finish("clad")},       // an exposure limit
		{finish("frame-seen"), start("tape")}, // a cover check
	} {
		job := sound(t)
		ends(good[0], good[1])(job)
		if faults := rules.Check(job); len(faults) > 0 {
			t.Error(faults)
		}
	}
}
