package rules_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/rules"
	"gaugerod/scheduler/worktime"
)

// sound is the job with every feature, as if it had come from no file.
func sound(t testing.TB) *scheduler.Job {
	t.Helper()
	data, err := os.ReadFile("../../testdata/every-feature.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read("every-feature.job.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

func span(s string) worktime.Span {
	v, err := worktime.ParseSpan(s)
	if err != nil {
		panic(err)
	}
	return v
}

func spanAt(s string) *worktime.Span { v := span(s); return &v }

func date(s string) worktime.Date {
	v, err := worktime.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return v
}

func dateAt(s string) *worktime.Date { v := date(s); return &v }

func when(s string) *worktime.When {
	v, err := worktime.ParseWhen(s)
	if err != nil {
		panic(err)
	}
	return &v
}

func period(from, to string) worktime.Period {
	a, err1 := worktime.ParseClock(from)
	b, err2 := worktime.ParseClock(to)
	if err1 != nil || err2 != nil {
		panic(from + to)
	}
	return worktime.Period{From: a, To: b}
}

func number(n int) *int { return &n }

type ids = []scheduler.ID

func start(id scheduler.ID) scheduler.Point { return scheduler.Point{Step: id} }
func finish(id scheduler.ID) scheduler.Point {
	return scheduler.Point{Step: id, End: scheduler.Finish}
}

// find is the thing of a name, for spoiling.
func find[T any](all []T, is func(*T) bool) *T {
	for k := range all {
		if is(&all[k]) {
			return &all[k]
		}
	}
	panic("there is no such thing")
}

func task(j *scheduler.Job, id scheduler.ID) *scheduler.Task {
	return find(j.Tasks, func(t *scheduler.Task) bool { return t.ID == id })
}

func hold(j *scheduler.Job, id scheduler.ID) *scheduler.Hold {
	return find(j.Holds, func(h *scheduler.Hold) bool { return h.ID == id })
}

func place(j *scheduler.Job, id scheduler.ID) *scheduler.Place {
	return find(j.Places, func(p *scheduler.Place) bool { return p.ID == id })
}

func fact(j *scheduler.Job, id scheduler.ID) *scheduler.Fact {
	return find(j.Facts, func(f *scheduler.Fact) bool { return f.Step == id })
}

func wait(from, to scheduler.Point) scheduler.Wait { return scheduler.Wait{From: from, To: to} }

// spoiling is a change that makes a sound job unsound, and what is said of it: the
// key, and the beginning of the sentence with its mend.
type spoiling struct {
	name  string
	spoil func(j *scheduler.Job)
	field string
	want  string
}

func check(t *testing.T, cases []spoiling) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			job := sound(t)
			c.spoil(job)
			faults := rules.Check(job)
			if len(faults) != 1 {
				t.Fatalf("%d faults:\n%v", len(faults), faults)
			}
			f := faults[0]
			if said := f.What + "; " + f.Mend; f.Field != c.field || !strings.HasPrefix(said, c.want) || f.Mend == "" {
				t.Errorf("got %q: %s\nwant %q: %s", f.Field, said, c.field, c.want)
			}
		})
	}
}

func TestASoundJobHasNoFaults(t *testing.T) {
	if faults := rules.Check(sound(t)); len(faults) > 0 {
		t.Error(faults)
	}
}

func TestAnEmptyJobSaysWhatItNeeds(t *testing.T) {
	faults := rules.Check(&scheduler.Job{})
	var fields []string
	for _, f := range faults {
		fields = append(fields, f.Field)
	}
	if got := strings.Join(fields, " "); got != "job title zone start week" {
		t.Errorf("got %s:\n%v", got, faults)
	}
}

func TestSite(t *testing.T) {
	check(t, []spoiling{
		{"no name", func(j *scheduler.Job) { j.ID = "" }, "job", `job "" has no name; give it`},
		{"odd name", func(j *scheduler.Job) { j.ID = "Garden Studio" }, "job", `job "Garden Studio" has a name that cannot be one; use lower-case letters and digits, joined by single hyphens, for instance garden-studio`},
		{"name of no letters", func(j *scheduler.Job) { j.ID = "?" }, "job", `job "?" has a name that cannot be one; use lower-case letters and digits, joined by single hyphens`},
		{"blank title", func(j *scheduler.Job) { j.Title = "  " }, "title", `job "garden-studio" has no title`},
		{"title of two lines", func(j *scheduler.Job) { j.Title = "a\nb" }, "title", `job "garden-studio" has several lines for its title; write it on one line`},
		{"title that is not UTF-8", func(j *scheduler.Job) { j.Title = "a\xff" }, "title", `job "garden-studio" has something that is not UTF-8 in its title`},
		{"title with a bell", func(j *scheduler.Job) { j.Title = "a\a" }, "title", `job "garden-studio" has the control character U+0007 in its title; leave it out`},
		{"endless title", func(j *scheduler.Job) { j.Title = strings.Repeat("a", 4001) }, "title", `job "garden-studio" has 4001 letters in its title`},
		{"no zone", func(j *scheduler.Job) { j.Zone = "" }, "zone", `job "garden-studio" does not say which time zone it is in; write the zone's IANA name`},
		{"unknown zone", func(j *scheduler.Job) { j.Zone = "Europe/Wien" }, "zone", `job "garden-studio" is in the time zone "Europe/Wien", which nobody knows`},
		{"the machine's zone", func(j *scheduler.Job) { j.Zone = "Local" }, "zone", `job "garden-studio" is in the time zone "Local"`},
		{"no start", func(j *scheduler.Job) { j.Start = 0 }, "start", `job "garden-studio" does not say when it starts`},
		{"start too far back", func(j *scheduler.Job) { j.Start = date("1926-03-02") }, "start", `job "garden-studio" has the day 1926-03-02 for "start", which is too far away; write a day from 1990-01-01 to 2100-12-31`},
		{"as-of too far ahead", func(j *scheduler.Job) { j.AsOf = dateAt("2206-03-02") }, "as-of", `job "garden-studio" has the day 2206-03-02 for "as-of"`},
		{"day of work in days", func(j *scheduler.Job) { j.Day = span("1 day") }, "day", `job "garden-studio" says that a day of work is 1 day; write working hours`},
		{"elapsed day of work", func(j *scheduler.Job) { j.Day = span("8 elapsed hours") }, "day", `job "garden-studio" says that a day of work is 8 elapsed hours`},
		{"day of 25 hours", func(j *scheduler.Job) { j.Day = span("25 hours") }, "day", `job "garden-studio" says that a day of work is 25 hours long`},
		{"day of no hours", func(j *scheduler.Job) { j.Day = span("0 hours") }, "day", `job "garden-studio" says that a day of work is 0 hours long`},
		{"closure backwards", func(j *scheduler.Job) { j.Closures[0].To = date("2026-04-01") }, "to", `closure ends on 2026-04-01, before it begins on 2026-04-06; write the earlier day under from`},
		{"closure without a day", func(j *scheduler.Job) { j.Closures[0].From = 0 }, "from", `closure has the day 1970-01-01 for "from"`},
		{"closure's reason of two lines", func(j *scheduler.Job) { j.Closures[0].Why = "a\nb" }, "why", `closure has several lines for its why`},
	})
}

func TestWeeks(t *testing.T) {
	monday := func(periods ...worktime.Period) *worktime.Week { return &worktime.Week{1: periods} }
	check(t, []spoiling{
		{"no working time", func(j *scheduler.Job) { j.Week = worktime.Week{} }, "week", `job "garden-studio" has a week without any working time`},
		{"a trade's, without any", func(j *scheduler.Job) { j.Trades[1].Week = &worktime.Week{} }, "week", `trade "windows" has a week without any working time`},
		{"backwards", func(j *scheduler.Job) { j.Week[1][0].To = 60 }, "week", `job "garden-studio" has the period 07:30-01:00 on Monday, which ends no later than it begins`},
		{"past midnight", func(j *scheduler.Job) { j.Week[1][1].To = 1441 }, "week", `job "garden-studio" has the period 12:30-24:01 on Monday`},
		{"of no length", func(j *scheduler.Job) { j.Week[1][0].To = j.Week[1][0].From }, "week", `job "garden-studio" has the period 07:30-07:30 on Monday`},
		{"overlapping", func(j *scheduler.Job) { j.Week[1][1].From = 11 * 60 }, "week", `job "garden-studio" has the period 11:00-16:00 on Monday, which overlaps 07:30-12:00`},
		{"out of order", func(j *scheduler.Job) {
			p := j.Week[1]
			p[0], p[1] = p[1], p[0]
		}, "week", `job "garden-studio" has the period 07:30-12:00 on Monday after 12:30-16:00, out of order`},
		{"a place's, overlapping", func(j *scheduler.Job) {
			place(j, "garden").Week = monday(worktime.Period{From: 480, To: 600}, worktime.Period{From: 540, To: 660})
		}, "week", `place "garden" has the period 09:00-11:00 on Monday, which overlaps 08:00-10:00`},
		{"a trade's that never meets the site's", func(j *scheduler.Job) {
			j.Trades[2].Week = &worktime.Week{0: {{From: 480, To: 600}}}
			task(j, "paint-inside").Trades, hold(j, "corner-seen").Trades = nil, nil
		}, "trades", `task "clad" can never be worked on: the week of trade "cladding" has no time in common`},
		{"a place's that never meets the trade's", func(j *scheduler.Job) {
			place(j, "opening-n2").Week = &worktime.Week{5: {{From: 480, To: 600}}} // the window setters do not come on Fridays
			j.Typicals[0].Tasks = j.Typicals[0].Tasks[1:]
			j.Typicals[0].Waits, j.Typicals[0].Holds = nil, nil
		}, "places", `task "set" of typical "openings" can never be worked on: the week of place "opening-n2" has no time in common`},
		{"an order's place that never meets the site's", func(j *scheduler.Job) {
			place(j, "garden").Week = &worktime.Week{6: {{From: 480, To: 600}}}
			hold(j, "corner-seen").Places = nil
		}, "places", `order "windows" can never be worked on: the week of place "garden"`},
		{"a stage's trade that never meets the site's", func(j *scheduler.Job) {
			j.Trades[3].Week = &worktime.Week{0: {{From: 480, To: 600}}}
			j.Orders[0].Stages[2].By = ""
		}, "trades", `stage "drawing" of order "windows" can never be worked on: the week of trade "glazing-works"`},
	})
}

func TestPeopleTradesGear(t *testing.T) {
	check(t, []spoiling{
		{"person without a name", func(j *scheduler.Job) { j.People[0].Name = "" }, "name", `person "ida" has no name`},
		{"person without a role", func(j *scheduler.Job) { j.People[0].Role = "" }, "role", `person "ida" has no role; write one of: owner,`},
		{"unknown role", func(j *scheduler.Job) { j.People[0].Role = "boss" }, "role", `person "ida" has the role "boss", which is none of those known; write one of: owner,`},
		{"nearly a role", func(j *scheduler.Job) { j.People[0].Role = "ownr" }, "role", `person "ida" has the role "ownr", which is none of those known; did you mean "owner"? write one of`},
		{"unknown trade", func(j *scheduler.Job) { j.People[4].Trade = "window" }, "trade", `person "setter" names the trade "window", which is not under trades; did you mean "windows"?`},
		{"person twice", func(j *scheduler.Job) { j.People = append(j.People, j.People[0]) }, "", `person "ida" is there twice under people`},
		{"person's name that cannot be one", func(j *scheduler.Job) { j.People[4].ID = "Setter" }, "", `person "Setter" has a name that cannot be one`},
		{"name too long", func(j *scheduler.Job) { j.People[4].ID = scheduler.ID(strings.Repeat("a", 61)) }, "", `person "` + strings.Repeat("a", 61) + `" has a name of 61 letters`},
		{"no name", func(j *scheduler.Job) { j.People[4].ID = "" }, "", `person "" has no name`},
		{"trade without a title", func(j *scheduler.Job) { j.Trades[0].Title = "" }, "title", `trade "framing" has no title`},
		{"short name of one letter", func(j *scheduler.Job) { j.Trades[0].Short = "F" }, "short", `trade "framing" has the short name "F" of 1 letters; write two to four letters`},
		{"short name of two trades", func(j *scheduler.Job) { j.Trades[1].Short = "FR" }, "short", `trade "windows" has the same short name "FR" as trade "framing"`},
		{"no crews", func(j *scheduler.Job) { j.Trades[0].Crews = 0 }, "crews", `trade "framing" has 0 for "crews"; write a number from 1`},
		{"elapsed notice", func(j *scheduler.Job) { j.Trades[0].Notice = span("1 elapsed week") }, "notice", `trade "framing" has the elapsed time 1 elapsed week for "notice", which counts working time; write it without the word elapsed, for instance 1 week`},
		{"time off backwards", func(j *scheduler.Job) { j.Trades[1].Off[0].From = date("2026-05-12") }, "to", `time off of trade "windows" ends on 2026-05-08, before it begins on 2026-05-12`},
		{"gear without a title", func(j *scheduler.Job) { j.Gear[0].Title = "" }, "title", `gear "lift" has no title`},
		{"less gear than none", func(j *scheduler.Job) { j.Gear[0].Count = -1 }, "count", `gear "lift" has -1 for "count"`},
		{"span of no unit", func(j *scheduler.Job) { j.Trades[0].Notice = worktime.Span{Amount: 1, Unit: 99} }, "notice", `trade "framing" has a length of time for "notice" that is less than nothing or of no unit`},
		{"span below nothing", func(j *scheduler.Job) { j.Trades[0].Notice.Amount = -1 }, "notice", `trade "framing" has a length of time for "notice" that is less than nothing or of no unit`},
		{"endless span", func(j *scheduler.Job) { j.Trades[0].Notice = span("1100 weeks") }, "notice", `trade "framing" has 1100 weeks for "notice", which is too long; write less than 20 years`},
		{"span past all counting", func(j *scheduler.Job) {
			j.Trades[0].Notice = worktime.Span{Amount: math.MaxInt32, Unit: worktime.Weeks}
		}, "notice", `trade "framing" has 2147483647 weeks for "notice", which is too long`},
	})
}

func TestPlaces(t *testing.T) {
	check(t, []spoiling{
		{"no title", func(j *scheduler.Job) { j.Places[0].Title = "" }, "title", `place "site" has no title`},
		{"within nothing known", func(j *scheduler.Job) { place(j, "house").Within = "sit" }, "within", `place "house" names the place "sit", which is not under places; did you mean "site"?`},
		{"within itself", func(j *scheduler.Job) { place(j, "site").Within = "site" }, "within", `place "site" lies within itself: site within site;`},
		{"in a loop", func(j *scheduler.Job) { place(j, "site").Within = "wall-north" }, "within", `place "site" lies within itself: site within wall-north within house within site;`},
		{"room for less than none", func(j *scheduler.Job) { place(j, "house").Room = -1 }, "room", `place "house" has room for -1 tasks`},
		{"closure backwards", func(j *scheduler.Job) { place(j, "garden").Closures[0].To = date("2026-05-01") }, "to", `closure of place "garden" ends on 2026-05-01`},
		{"place twice", func(j *scheduler.Job) { j.Places = append(j.Places, j.Places[0]) }, "", `place "site" is there twice under places`},
		{"nested too deep", func(j *scheduler.Job) { nest(j, 41) }, "within", `place "zn40" lies within 40 others, one within the other; nest places less than 40 deep`},
		{"in a long loop", func(j *scheduler.Job) {
			nest(j, 12)
			place(j, "zn0").Within = "zn11"
		}, "within", `place "zn0" lies within itself: zn0 within zn11 within zn10 within zn9 within zn8 within zn7 within zn6 within … within zn0;`},
	})
	job := sound(t)
	nest(job, 40)
	if faults := rules.Check(job); len(faults) > 0 {
		t.Errorf("40 deep: %v", faults)
	}
}

// nest adds places, each within the one before.
func nest(j *scheduler.Job, n int) {
	for k := range n {
		p := scheduler.Place{ID: scheduler.ID("zn" + itoa(k)), Title: "Z"}
		if k > 0 {
			p.Within = scheduler.ID("zn" + itoa(k-1))
		}
		j.Places = append(j.Places, p)
	}
}

func itoa(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + itoa(n%10)
}
