package rules_test

import (
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/rules"
)

func TestIssues(t *testing.T) {
	check(t, []spoiling{
		{"letter out of turn", func(j *scheduler.Job) {
			j.Issues = append(j.Issues, j.Issues[0])
			j.Issues[1].Letter = "C"
		}, "", `issue "C" stands where issue B is due; letter the issues`},
		{"by nobody", func(j *scheduler.Job) { j.Issues[0].By = "" }, "by", `issue "A" does not say who sent it out`},
		{"by a trade", func(j *scheduler.Job) { j.Issues[0].By = "framing" }, "by", `issue "A" names the trade "framing" where a person is needed`},
		{"as of a day too far", func(j *scheduler.Job) { j.Issues[0].AsOf = date("2300-01-01") }, "as-of", `issue "A" has the day 2300-01-01`},
		{"before the one before it", func(j *scheduler.Job) {
			j.Issues = append(j.Issues, j.Issues[0])
			j.Issues[1].Letter, j.Issues[1].On = "B", date("2026-04-07")
		}, "on", `issue "B" was sent out on 2026-04-07, before the issue`},
		{"note with a control character", func(j *scheduler.Job) { j.Issues[0].Note = "a\x00" }, "note", `issue "A" has the control character U+0000`},
	})
}

func TestPromises(t *testing.T) {
	check(t, []spoiling{
		{"twice", func(j *scheduler.Job) { j.Promises = append(j.Promises, j.Promises[0]) }, "", `promise "windows.wall-north.tape" is there twice`},
		{"unknown trade", func(j *scheduler.Job) { j.Promises[0].Trade = "window" }, "trade", `promise "windows.wall-north.tape" names the trade "window", which is not under trades; did you mean "windows"?`},
		{"unknown place", func(j *scheduler.Job) { j.Promises[0].Place = "wall" }, "place", `promise "windows.wall-north.tape" names the place "wall"`},
		{"no steps", func(j *scheduler.Job) { j.Promises[0].Steps = nil }, "steps", `promise "windows.wall-north.tape" has no steps`},
		{"step twice", func(j *scheduler.Job) { j.Promises[0].Steps = ids{"tape", "tape"} }, "steps", `promise "windows.wall-north.tape" names "tape" twice`},
		{"step that is none", func(j *scheduler.Job) { j.Promises[0].Steps = ids{"tape", "a.b.c"} }, "steps", `promise "windows.wall-north.tape" names the step "a.b.c", which no step can be called`},
		{"another window's name", func(j *scheduler.Job) { j.Promises[0].Window = "windows.house.tape" }, "", `promise "windows.house.tape" is of a window called "windows.house.tape", and its trade`},
		{"ends before it begins", func(j *scheduler.Job) { j.Promises[0].Until = date("2026-04-14") }, "until", `promise "windows.wall-north.tape" runs until 2026-04-14 and begins only on 2026-04-15`},
		{"unknown issue", func(j *scheduler.Job) { j.Promises[0].Letter = "B" }, "issue", `promise "windows.wall-north.tape" stems from the issue "B"`},
		{"confirmed by nobody", func(j *scheduler.Job) { j.Promises[0].By = "" }, "by", `promise "windows.wall-north.tape" does not say who confirmed it`},
		{"confirmed by a stranger", func(j *scheduler.Job) { j.Promises[0].By = "x" }, "by", `promise "windows.wall-north.tape" names the trade or person "x"`},
		{"confirmed at no time", func(j *scheduler.Job) { j.Promises[0].Confirmed = nil }, "by", `promise "windows.wall-north.tape" says who confirmed it and not when`},
		{"neither issued nor confirmed", func(j *scheduler.Job) { j.Promises[1].Letter = "" }, "issue", `promise "cladding.house.paint-inside" is neither issued nor confirmed`},
	})
}

func TestAnswers(t *testing.T) {
	check(t, []spoiling{
		{"another window's name", func(j *scheduler.Job) { j.Answers[0].Window = "x" }, "window", `answer of "windows" is of a window called "x"`},
		{"ends before it begins", func(j *scheduler.Job) { j.Answers[0].To = date("2026-05-01") }, "to", `answer of "windows" runs until 2026-05-01`},
		{"no day", func(j *scheduler.Job) { j.Answers[0].On = date("1900-01-01") }, "on", `answer of "windows" has the day 1900-01-01`},
		{"by nobody", func(j *scheduler.Job) { j.Answers[0].By = "" }, "by", `answer of "windows" does not say who said so`},
		{"note with a control character", func(j *scheduler.Job) { j.Answers[0].Note = "\x07" }, "note", `answer of "windows" has the control character`},
	})
}

// TestAPromisedStepMayBeGone: what was promised stays promised when the work has
// been taken out since; the plan tells that it is broken.
func TestAPromisedStepMayBeGone(t *testing.T) {
	job := sound(t)
	job.Promises[0].Steps = append(job.Promises[0].Steps, "taken-out", "opening-n9.pan")
	if faults := rules.Check(job); len(faults) > 0 {
		t.Error(faults)
	}
}
