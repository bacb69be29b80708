package rules_test

import (
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func TestWork(t *testing.T) {
	check(t, []spoiling{
		{"no title", func(j *scheduler.Job) { task(j, "frame").Title = "" }, "title", `task "frame" has no title`},
		{"note with a bell", func(j *scheduler.Job) { task(j, "frame").Note = "a\a" }, "note", `task "frame" has the control character U+0007 in its note`},
		{"unknown trade", func(j *scheduler.Job) { task(j, "frame").Trades = ids{"framming"} }, "trades", `task "frame" names the trade "framming", which is not under trades; did you mean "framing"?`},
		{"trade twice", func(j *scheduler.Job) { task(j, "frame").Trades = ids{"framing", "framing"} }, "trades", `task "frame" names "framing" twice under trades; name it once`},
		{"unknown place", func(j *scheduler.Job) { task(j, "strike").Places = ids{"wall-nort"} }, "places", `task "strike" names the place "wall-nort", which is not under places; did you mean "wall-north"?`},
		{"unknown gear", func(j *scheduler.Job) { task(j, "frame").Gear = ids{"crane"} }, "gear", `task "frame" names the gear "crane", which is not under gear; add it under gear`},
		{"no crews", func(j *scheduler.Job) { task(j, "frame").Crews = 0 }, "crews", `task "frame" has 0 for "crews"`},
		{"more crews than there are", func(j *scheduler.Job) { task(j, "frame").Crews = 2 }, "crews", `task "frame" takes 2 crews of trade "framing", which can send 1; take fewer`},
		{"endless", func(j *scheduler.Job) { task(j, "frame").Takes = span("9000 days") }, "takes", `task "frame" has 9000 days for "takes", which is too long`},
		{"alone nowhere", func(j *scheduler.Job) { task(j, "paint-inside").Places = nil }, "alone", `task "paint-inside" wants its place to itself and has no place`},
		{"weather of nothing", func(j *scheduler.Job) { task(j, "frame").Weather = &scheduler.Weather{} }, "weather", `task "frame" has weather that says nothing`},
		{"storm", func(j *scheduler.Job) { task(j, "frame").Weather.WindBelow = number(90) }, "weather", `task "frame" needs wind below 90 m/s`},
		{"furnace", func(j *scheduler.Job) { task(j, "frame").Weather.MinTemperature = number(200) }, "weather", `task "frame" needs at least 200 degrees`},
		{"unknown caution", func(j *scheduler.Job) { task(j, "frame").Cautions = []scheduler.Caution{"hight"} }, "cautions", `task "frame" has the caution "hight", which is none of those known; did you mean "height"?`},
		{"caution twice", func(j *scheduler.Job) { task(j, "frame").Cautions = []scheduler.Caution{"height", "height"} }, "cautions", `task "frame" has the caution "height" twice`},
		{"name with a dot", func(j *scheduler.Job) {
			j.Tasks = append(j.Tasks, scheduler.Task{ID: "a.b", Title: "T"})
		}, "", `task "a.b" has a name that cannot be one; use lower-case letters and digits, joined by single hyphens, for instance a-b`},
		{"task with the name of a hold", func(j *scheduler.Job) {
			j.Holds = append(j.Holds, scheduler.Hold{ID: "frame", Title: "H", Kind: scheduler.Test, By: "kim"})
		}, "", `hold "frame" makes a step called "frame", which is there already (a task)`},
	})
}

func TestHolds(t *testing.T) {
	check(t, []spoiling{
		{"no title", func(j *scheduler.Job) { hold(j, "frame-seen").Title = "" }, "title", `hold "frame-seen" has no title`},
		{"no kind", func(j *scheduler.Job) { hold(j, "frame-seen").Kind = "" }, "kind", `hold "frame-seen" has no kind; write one of: delivery,`},
		{"unknown kind", func(j *scheduler.Job) { hold(j, "frame-seen").Kind = "inspektion" }, "kind", `hold "frame-seen" has the kind "inspektion", which is none of those known; did you mean "inspection"?`},
		{"nobody", func(j *scheduler.Job) { hold(j, "frame-seen").By = "" }, "by", `hold "frame-seen" does not say who releases it; name one of the people`},
		{"a trade", func(j *scheduler.Job) { hold(j, "frame-seen").By = "framing" }, "by", `hold "frame-seen" names the trade "framing" where a person is needed; name one of the people`},
		{"an unknown person", func(j *scheduler.Job) { hold(j, "frame-seen").By = "inspecter" }, "by", `hold "frame-seen" names the person "inspecter", which is not under people; did you mean "inspector"?`},
		{"elapsed notice", func(j *scheduler.Job) { hold(j, "frame-seen").Notice = span("2 elapsed days") }, "notice", `hold "frame-seen" has the elapsed time 2 elapsed days for "notice"`},
		{"witness without notice", func(j *scheduler.Job) { hold(j, "windows-seen").Notice = worktime.Span{} }, "notice", `hold "windows-seen" is a witness point without notice`},
		{"nominal of what is not measured", func(j *scheduler.Job) { hold(j, "frame-seen").Nominal = number(5) }, "nominal", `hold "frame-seen" has a nominal measure and is of the kind "inspection"`},
		{"tolerance of what is not measured", func(j *scheduler.Job) { hold(j, "frame-seen").Tolerance = 5 }, "tolerance", `hold "frame-seen" has a tolerance and is of the kind "inspection"`},
		{"tolerance of nothing", func(j *scheduler.Job) { hold(j, "sill-height").Nominal = nil }, "tolerance", `hold "sill-height" has a tolerance and no nominal measure`},
		{"tolerance below nothing", func(j *scheduler.Job) { hold(j, "sill-height").Tolerance = -1 }, "tolerance", `hold "sill-height" has the tolerance -1 mm`},
		{"nominal of a kilometre", func(j *scheduler.Job) { hold(j, "sill-height").Nominal = number(2_000_000) }, "nominal", `hold "sill-height" has the nominal measure 2000000 mm`},
		{"note with a bell", func(j *scheduler.Job) { hold(j, "frame-seen").Note = "\a" }, "note", `hold "frame-seen" has the control character U+0007 in its note`},
	})
}
