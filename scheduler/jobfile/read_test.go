package jobfile_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

const everyFeature = "../../testdata/every-feature.job.yaml"

func readFile(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// head is a job of five lines; what follows begins on the sixth.
const head = "job: a\ntitle: A\nzone: Europe/Vienna\nstart: 2026-03-02\nweek: {monday: [07:30-16:00]}\n"

func TestReadTheLeast(t *testing.T) {
	job, err := jobfile.Read("f", []byte(head))
	if err != nil {
		t.Fatal(err)
	}
	if job.ID != "a" || job.DayMinutes() != 510 || job.AsOf != nil || job.Tasks != nil {
		t.Errorf("got %+v", job)
	}
}

func TestFaultsOfShape(t *testing.T) {
	for _, c := range []struct{ name, file, want string }{
		{"nothing", "", `f:1:1: the file is empty; begin with job: and a short name for it`},
		{"comments only", "# nothing\n", `f:1:1: the file is empty; begin with job: and a short name for it`},
		{"a list", "- a\n", `f:1:1: the job is a list; write keys with values (key: value)`},
		{"a word", "job", `f:1:1: the job is "job"; write keys with values (key: value)`},
		{"not UTF-8", head + "tasks: {t: {title: \xff}}\n", `f:6:20: the file is not in UTF-8 from here on; save it as UTF-8`},
		{"not UTF-8 in an odd place", head + "# ä\xe2\x82", `f:6:4: the file is not in UTF-8 from here on; save it as UTF-8`},
		{"control character", head + "#\x00", `f:6:1: a control character stands in the file; leave it out`},
		{"two documents", head + "---\njob: b\n", `f:6:1: a second document begins here; keep one job in a file`},
		{"tab", head + "tasks:\n\tt: {title: T}\n", `f:7:2: a tab stands before this line; write blanks instead of tabs`},
		{"open bracket", head + "tasks:\n  t: {title: T\n  u: 5\nx: 5\n", `f:7:3: a comma or a "}" is missing here; close what was opened; put texts with commas, colons or brackets in quotation marks`},
		{"open square bracket", head + "tasks:\n  t: {trades: [a}\n", `f:7:3: a comma or a "]" is missing here; close what was opened; put texts with commas, colons or brackets in quotation marks`},
		{"blanks that do not fit", head + "tasks:\n  t:\n    title: T\n   takes: 5 days\n", `f:9:4: the blanks before this line fit none of the lines above; begin the line exactly below the one it belongs with`},
		{"key without colon", head + "tasks:\n  t:\n    title T\n    takes: 5 days\n", `f:9:5: a colon followed by a blank stands within a text here, or the key before it has no colon; put the text in quotation marks, or mend the line before`},
		{"open quotation mark", head + "tasks:\n  t: \"abc\nx: 5\n", `f:7:3: a text in quotation marks begins here and does not end; close the quotation marks`},
		{"no hyphen", head + "tasks:\n  - a\n  b: c\n", `f:8:3: a line without a hyphen stands in a list; begin it with a hyphen, or exactly below the one it belongs with`},
		{"odd character", head + "tasks: @x\n", `f:6:1: a character stands here that nothing begins with; put the text in quotation marks`},
		{"after the end", head + "...\njob: b\n", `f:7:1: this is not YAML: did not find expected <document start>; look at the blanks before the keys, the colons and the quotation marks here and on the line before`},
		{"nesting without end", head + "tasks: " + strings.Repeat("[", 20_000), `f:6:1: brackets are nested without end; close what was opened`},
		{"deep nesting", head + "tasks: " + strings.Repeat("[", 12) + strings.Repeat("]", 12), "f:6:8: tasks of the job is a list; write keys with values (key: value)\nf:6:19: this is nested 13 levels deep; look at the brackets and the blanks before the keys"},
		{"reference to nothing", head + "gear: *g\n", `f:6:7: *g refers to something written elsewhere, which job files do not do; write it out where it is needed`},
		{"anchor and reference", head + "gear: &g {}\nplaces: *g\n", "f:6:7: &g names something to be referred to, which job files do not do; leave it out\nf:7:9: *g refers to something written elsewhere, which job files do not do; write it out where it is needed"},
		{"reference to itself", "&a\njob: *a\n", "f:1:1: &a names something to be referred to, which job files do not do; leave it out\nf:1:1: the job has no \"start\"; add start: and what it is\nf:1:1: the job has no \"title\"; add title: and what it is\nf:1:1: the job has no \"week\"; add week: and what it is\nf:1:1: the job has no \"zone\"; add zone: and what it is\nf:2:6: *a refers to something written elsewhere, which job files do not do; write it out where it is needed"},
		{"reference for a key", head + "gear: &g {}\n*g : {}\n", "f:6:7: &g names something to be referred to, which job files do not do; leave it out\nf:7:1: *g refers to something written elsewhere, which job files do not do; write it out where it is needed"},
		{"tag", head + "gear: !!map {}\n", `f:6:7: !!map is a tag, which job files do not have; leave it out`},
		{"tag of a word", head + "gear: {g: {title: !!str G}}\n", `f:6:19: !!str is a tag, which job files do not have; leave it out`},
		{"key that is a list", head + "? [a]\n: b\n", `f:6:3: the job has a key that is not a word; write a word before the colon`},
		{"unknown key, near", head + "gaer: {lift: {title: Lift}}\n", `f:6:1: the job has the key "gaer", which is not known; did you mean "gear"?`},
		{"unknown key, far", head + "gear: {lift: {title: Lift, colour: red}}\n", `f:6:28: gear "lift" has the key "colour", which is not known; the keys here are title, count`},
		{"unknown key beside the known one", head + "gear: {lift: {title: Lift, tilte: Lift}}\n", `f:6:28: gear "lift" has the key "tilte", which is not known; did you mean "title"?`},
		{"key twice", head + "title: B\n", `f:6:1: the job has "title" twice, here and on line 2; leave one of them out or give it another name`},
		{"nothing in a section", head + "gear:\n", `f:6:6: gear of the job has nothing in it; write keys with values (key: value), or leave it out`},
		{"text for a section", head + "gear: lift\n", `f:6:7: gear of the job is "lift"; write keys with values (key: value)`},
		{"mapping for a text", head + "gear: {lift: {title: {a: b}}}\n", `f:6:22: title of gear "lift" has keys with values in it; write a text`},
		{"list for a text", head + "gear: {lift: {title: [a]}}\n", `f:6:22: title of gear "lift" is a list; write a text`},
		{"number for a text", head + "gear: {lift: {title: 12}}\n", `f:6:22: title of gear "lift" is "12", which is no text; put it in quotation marks: "12"`},
		{"true for a name", head + "places: {a: {title: A, within: true}}\n", `f:6:32: within of place "a" is "true", which is no text; put it in quotation marks: "true"`},
		{"text for a number", head + "gear: {lift: {title: Lift, count: two}}\n", `f:6:35: count of gear "lift" is "two", which is no whole number; write digits only, for instance 2`},
		{"number in quotation marks", head + "gear: {lift: {title: Lift, count: \"2\"}}\n", `f:6:35: count of gear "lift" is "2", which is no whole number; write digits only, for instance 2`},
		{"octal number", head + "gear: {lift: {title: Lift, count: 010}}\n", `f:6:35: count of gear "lift" is "010", which is no whole number; write digits only, for instance 2`},
		{"number too large", head + "gear: {lift: {title: Lift, count: 20000000000}}\n", `f:6:35: count of gear "lift" is "20000000000", which is no whole number; write digits only, for instance 2`},
		{"list for a number", head + "gear: {lift: {title: Lift, count: [2]}}\n", `f:6:35: count of gear "lift" is a list; write a whole number`},
		{"text for a list", head + "tasks: {t: {title: T, takes: 1 day, gear: lift}}\n", `f:6:43: gear of task "t" is "lift"; write a list ([one, two], or a line with a hyphen for each)`},
		{"list in a list", head + "tasks: {t: {title: T, takes: 1 day, gear: [[lift]]}}\n", `f:6:44: gear of task "t" is a list; write a name`},
		{"yes for true", head + "tasks: {t: {title: T, takes: 1 day, alone: yes}}\n", `f:6:44: alone of task "t" is "yes"; write true or false, without quotation marks`},
		{"list for true", head + "tasks: {t: {title: T, takes: 1 day, alone: []}}\n", `f:6:44: alone of task "t" is a list; write true or false`},
		{"length of time in words", head + "tasks: {t: {title: T, takes: two days}}\n", `f:6:30: takes of task "t": "two days" is not a length of time; write a whole number up to 100000 and a unit, for instance 3 days, 4 hours or 28 elapsed days`},
		{"unit that is not known", head + "tasks: {t: {title: T, takes: 2 months}}\n", `f:6:30: takes of task "t": "2 months" has no unit that is known; the units are minutes, hours, days, weeks, elapsed minutes, elapsed hours, elapsed days, elapsed weeks`},
		{"list for a length of time", head + "tasks: {t: {title: T, takes: [2 days]}}\n", `f:6:30: takes of task "t" is a list; write a length of time, for instance 3 days`},
		{"day of the month first", head + "closures: [{from: 6.4.2026, to: 2026-04-06}]\n", `f:6:19: from of closure of the job: "6.4.2026" is not a day; write year-month-day, for instance 2026-05-18`},
		{"time that no clock shows", head + "tasks: {t: {title: T, takes: 1 day}}\nfacts: {t: {started: 2026-03-03 7:30}}\n", `f:7:22: started of fact "t": "7:30" is not a time of day; write hours and minutes, for instance 07:30`},
		{"period without an end", head[:len(head)-1] + "\ntrades: {t: {title: T, week: {monday: [07:30]}}}\n", `f:6:40: monday of week of trade "t": "07:30" is no working period; write two times of day joined by a hyphen, for instance 07:30-12:00`},
		{"period that no clock shows", head + "trades: {t: {title: T, week: {monday: [07:30-25:00]}}}\n", `f:6:40: monday of week of trade "t": "07:30-25:00" is no working period; write two times of day joined by a hyphen, for instance 07:30-12:00`},
		{"text for periods", head + "trades: {t: {title: T, week: {monday: 07:30-16:00}}}\n", `f:6:39: monday of week of trade "t" is "07:30-16:00"; write a list ([one, two], or a line with a hyphen for each)`},
		{"key missing", head + "tasks:\n  t: {title: T}\n", `f:7:3: task "t" has no "takes"; add takes: and what it is`},
		{"thing that is none", head + "tasks:\n  t: 5\n  u: {title: U, takes: 1 day, after: [{finish: t}]}\n", `f:7:6: task "t" is "5"; write keys with values (key: value)`},
		{"wait that is none", head + "waits: [5]\n", `f:6:9: wait of the job is "5"; write keys with values (key: value)`},
		{"neither of two", head + "tasks:\n  t: {title: T, takes: 1 day, after: [{reason: cure}]}\n", `f:7:39: wait of task "t" has neither finish nor start; write one of them`},
		{"both of two", head + "tasks:\n  t: {title: T, takes: 1 day}\n  u: {title: U, takes: 1 day, after: [{finish: t, start: t}]}\n", `f:8:51: wait of task "u" has both finish and start; leave one of them out`},
		{"end that names nothing", head + "tasks:\n  t: {title: T, takes: 1 day}\nwaits: [{from: {finish: 5}, to: {start: t}}]\n", `f:8:25: finish of from of wait of the job is "5", which is no text; put it in quotation marks: "5"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, err := jobfile.Read("f", []byte(c.file))
			var faults scheduler.Faults
			if !errors.As(err, &faults) || job != nil {
				t.Fatalf("got %v, %v", job, err)
			}
			if got := err.Error(); got != c.want {
				t.Errorf("got:\n%s\nwant:\n%s", got, c.want)
			}
		})
	}
}

// TestRulesSpeakOfWhatWasRead: what follows from a value that could not be read is
// not told; everything else is, at the value that it is about.
func TestRulesSpeakOfWhatWasRead(t *testing.T) {
	for _, c := range []struct{ name, file, want string }{
		{
			"a value that could not be read", head + "tasks:\n  t: {title: [T], takes: 1 day, trade: x}\n",
			"f:7:14: title of task \"t\" is a list; write a text\nf:7:40: task \"t\" names the trade \"x\", which is not under trades; add it under trades",
		},
		{
			"a section that could not be read", head + "trades: 5\ntasks:\n  t: {title: T, takes: 1 day, trade: x}\n",
			`f:6:9: trades of the job is "5"; write keys with values (key: value)`,
		},
		{
			"a section under a wrong name", head + "trads: {x: {title: X}}\ntasks:\n  t: {title: T, takes: 1 day, trade: x}\n",
			`f:6:1: the job has the key "trads", which is not known; did you mean "trades"?`,
		},
		{
			"one of many names", head + "trades: {x: {title: X}, y: {title: Y}}\ntasks:\n  t: {title: T, takes: 1 day, trades: [x, z, y]}\n",
			`f:8:43: task "t" names the trade "z", which is not under trades; add it under trades`,
		},
		{
			"the second of two", head + "trades: {x: {title: X}}\ntasks:\n  t: {title: T, takes: 1 day, trades: [x, x]}\n",
			`f:8:43: task "t" names "x" twice under trades; name it once`,
		},
		{
			"what the job says of itself", strings.Replace(head, "Europe/Vienna", "Mars/North", 1),
			`f:3:7: job "a" is in the time zone "Mars/North", which nobody knows; write the zone's IANA name, for instance Europe/Vienna or America/Halifax`,
		},
		{
			"one period of a week", head + "trades:\n  x: {title: X, week: {monday: [08:00-09:00], friday: [07:00-08:00, 07:30-09:00]}}\n",
			`f:7:69: trade "x" has the period 07:30-09:00 on Friday, which overlaps 07:00-08:00; let the one end before the other begins, or write one period`,
		},
		{
			"one end of a wait", head + "tasks:\n  t: {title: T, takes: 1 day}\nwaits:\n  - from: {finish: t}\n    to: {start: tt}\n",
			`f:10:17: wait from the finish of t to the start of tt names the step "tt", which is not there; did you mean "t"?`,
		},
		{
			"a thing as a whole", head + "tasks:\n  t: {title: T, takes: 1 day}\n  u: {title: U, takes: 1 day, after: [{finish: t}, {finish: t}]}\n",
			`f:8:52: wait from the finish of t to the start of u is there twice; leave one of them out`,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := jobfile.Read("f", []byte(c.file))
			if err == nil || err.Error() != c.want {
				t.Errorf("got:\n%v\nwant:\n%s", err, c.want)
			}
		})
	}
}
