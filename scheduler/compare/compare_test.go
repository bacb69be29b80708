package compare_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/worktime"
)

type ids = []scheduler.ID

func at(s string) time.Time {
	t, err := time.ParseInLocation("2006-01-02 15:04", s, time.FixedZone("", 2*60*60))
	if err != nil {
		panic(err)
	}
	return t
}

func day(s string) worktime.Date {
	d, err := worktime.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return d
}

func dayAt(s string) *worktime.Date { d := day(s); return &d }

func run(from, until string) *compare.Stretch {
	return &compare.Stretch{From: day(from), Until: day(until)}
}

// job says who is who; nothing in it is real.
func job() *scheduler.Job {
	return &scheduler.Job{
		ID:     "shed",
		People: []scheduler.Person{{ID: "kim", Name: "Kim Example"}, {ID: "fay", Name: "Fay Example", Trade: "framing"}},
		Trades: []scheduler.Trade{{ID: "framing", Title: "Framing"}, {ID: "windows", Title: "Window setting"}, {ID: "works", Title: "Window works"}},
		Places: []scheduler.Place{{ID: "north", Title: "North wall"}, {ID: "south", Title: "South wall"}},
	}
}

func step(id, trade, place scheduler.ID, state scheduler.State, from, until string) scheduler.PlannedStep {
	return scheduler.PlannedStep{ID: id, Trades: ids{trade}, Places: ids{place}, State: state, Start: at(from), Finish: at(until)}
}

func window(p *scheduler.Plan, steps ...scheduler.ID) scheduler.Window {
	first, last := p.FindStep(steps[0]), p.FindStep(steps[len(steps)-1])
	t, pl := first.Trades[0], first.Places[0]
	return scheduler.Window{ID: string(t) + "." + string(pl) + "." + string(steps[0]), Trade: t, Place: pl, Steps: steps, From: first.Start, Until: last.Finish}
}

// before is as of Mon 4 May: framing strikes on Wed 6, sets on 11 and 12, windows
// come on 13 and 14.
func before() *scheduler.Plan {
	p := &scheduler.Plan{
		Job: "shed", AsOf: at("2026-05-04 00:00"), Finish: at("2026-05-14 16:00"),
		Steps: []scheduler.PlannedStep{
			step("strike", "framing", "north", scheduler.Waiting, "2026-05-06 08:00", "2026-05-06 16:00"),
			step("set", "framing", "north", scheduler.Waiting, "2026-05-11 08:00", "2026-05-12 16:00"),
			step("tape", "windows", "south", scheduler.Waiting, "2026-05-13 08:00", "2026-05-14 16:00"),
			{ID: "glass.delivery", Order: "glass"},
		},
		Holds: []scheduler.PlannedHold{
			{ID: "seen", Title: "Frame seen", Kind: scheduler.Inspection, By: "kim", State: scheduler.Waiting, Planned: at("2026-05-12 16:00")},
			{ID: "glass.delivery", Title: "Glass delivered", Kind: scheduler.Delivery, By: "works", State: scheduler.Waiting, Planned: at("2026-05-12 08:00")},
		},
		Orders: []scheduler.PlannedOrder{{ID: "glass", Title: "Glass", Supplier: "works", State: scheduler.Ready, Planned: at("2026-05-05 08:00"), Delivery: at("2026-05-12 08:00")}},
		Dues:   []scheduler.PlannedDue{{ID: "closed", Title: "Closed in", By: at("2026-05-16 00:00"), Planned: at("2026-05-14 16:00")}},
	}
	p.Windows = []scheduler.Window{window(p, "strike"), window(p, "set"), window(p, "tape")}
	return p
}

func compared(change func(p *scheduler.Plan)) *compare.Comparison {
	after := before()
	change(after)
	return compare.Plans(before(), after, job())
}

func TestTheSamePlanTwice(t *testing.T) {
	c := compared(func(p *scheduler.Plan) {
		for k := range p.Steps { // within the day
			p.Steps[k].Start = p.Steps[k].Start.Add(time.Hour)
		}
		p.Holds[0].Planned = at("2026-05-12 08:00")
	})
	if !c.Nothing() || len(c.Calls) != 0 {
		t.Errorf("%+v", c)
	}
}

func TestWhatMoves(t *testing.T) {
	c := compared(func(p *scheduler.Plan) {
		p.AsOf = at("2026-05-05 00:00")
		p.Steps[2].Start, p.Steps[2].Finish = at("2026-05-22 08:00"), at("2026-05-26 00:00")
		p.Windows[2] = window(p, "tape")
		p.Finish = at("2026-05-26 00:00")
		p.Dues[0].Planned, p.Dues[0].Missed = at("2026-05-26 00:00"), true
		p.Holds[0].Planned = at("2026-05-13 08:00")
		p.Holds[1].Planned, p.Orders[0].Delivery, p.Orders[0].Planned = at("2026-05-21 08:00"), at("2026-05-21 08:00"), at("2026-05-06 08:00")
	})
	want := &compare.Comparison{
		AsOfWas: day("2026-05-04"), AsOf: day("2026-05-05"),
		Finish:  compare.DayMove{Was: day("2026-05-14"), Is: day("2026-05-25"), Later: 11},
		Dues:    []compare.DueMove{{ID: "closed", Title: "Closed in", By: day("2026-05-15"), Missed: true, DayMove: compare.DayMove{Was: day("2026-05-14"), Is: day("2026-05-25"), Later: 11}}},
		Windows: []compare.WindowMove{{Window: "windows.south.tape", Trade: "windows", Place: "south", Steps: ids{"tape"}, Change: compare.Moved, Was: run("2026-05-13", "2026-05-14"), Is: run("2026-05-22", "2026-05-25")}},
		Holds:   []compare.HoldMove{{ID: "seen", Title: "Frame seen", Kind: scheduler.Inspection, By: "kim", Change: compare.Moved, Was: dayAt("2026-05-12"), Is: dayAt("2026-05-13")}},
		Orders: []compare.OrderMove{{
			ID: "glass", Title: "Glass", Supplier: "works", Change: compare.Moved,
			OrderWas: dayAt("2026-05-05"), OrderIs: dayAt("2026-05-06"), DeliveryWas: dayAt("2026-05-12"), DeliveryIs: dayAt("2026-05-21"),
		}},
		Calls: []compare.Call{
			{Who: "works", Name: "Window works", First: day("2026-05-05"), Lines: []compare.CallLine{
				{About: compare.OfOrder, ID: "glass", Title: "Glass", Change: compare.Moved, Was: run("2026-05-05", "2026-05-05"), Is: run("2026-05-06", "2026-05-06"), First: day("2026-05-05"), Text: "the order of “Glass” moves from Tue 5 May to Wed 6 May"},
				{About: compare.OfDelivery, ID: "glass", Title: "Glass", Change: compare.Moved, Was: run("2026-05-12", "2026-05-12"), Is: run("2026-05-21", "2026-05-21"), First: day("2026-05-12"), Text: "the delivery of “Glass” moves from Tue 12 May to Thu 21 May"},
			}, Sentence: "Window works: the order of “Glass” moves from Tue 5 May to Wed 6 May; the delivery of “Glass” moves from Tue 12 May to Thu 21 May."},
			{Who: "kim", Name: "Kim Example", First: day("2026-05-12"), Lines: []compare.CallLine{
				{About: compare.OfHold, ID: "seen", Title: "Frame seen", Change: compare.Moved, Was: run("2026-05-12", "2026-05-12"), Is: run("2026-05-13", "2026-05-13"), First: day("2026-05-12"), Text: "“Frame seen” moves from Tue 12 May to Wed 13 May"},
			}, Sentence: "Kim Example: “Frame seen” moves from Tue 12 May to Wed 13 May."},
			{Who: "windows", Name: "Window setting", First: day("2026-05-13"), Lines: []compare.CallLine{
				{About: compare.OfWindow, ID: "windows.south.tape", Title: "South wall", Change: compare.Moved, Was: run("2026-05-13", "2026-05-14"), Is: run("2026-05-22", "2026-05-25"), First: day("2026-05-13"), Text: "South wall moves from Wed 13 May – Thu 14 May to Fri 22 May – Mon 25 May"},
			}, Sentence: "Window setting: South wall moves from Wed 13 May – Thu 14 May to Fri 22 May – Mon 25 May."},
		},
	}
	if d := cmp.Diff(want, c); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

func texts(c *compare.Comparison) []string {
	var all []string
	for _, call := range c.Calls {
		for _, l := range call.Lines {
			all = append(all, string(call.Who)+": "+l.Text)
		}
	}
	return all
}

func wantTexts(t *testing.T, c *compare.Comparison, want ...string) {
	t.Helper()
	if d := cmp.Diff(want, texts(c)); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

// A window that is run together with another has not moved by that; one that is
// parted has, by its later half.
func TestWindowsRunTogetherAndParted(t *testing.T) {
	together := compared(func(p *scheduler.Plan) {
		p.Steps[1].Start, p.Steps[1].Finish = at("2026-05-07 08:00"), at("2026-05-08 16:00")
		p.Windows = []scheduler.Window{window(p, "strike", "set"), window(p, "tape")}
	})
	wantTexts(t, together, "framing: North wall moves from Mon 11 May – Tue 12 May to Thu 7 May – Fri 8 May")

	was := before()
	was.Windows = []scheduler.Window{window(was, "strike", "set")}
	is := before()
	is.Steps[1].Start, is.Steps[1].Finish = at("2026-05-18 08:00"), at("2026-05-19 16:00")
	is.Windows = []scheduler.Window{window(is, "strike"), window(is, "set")}
	wantTexts(t, compare.Plans(was, is, job()), "framing: North wall moves from Wed 6 May – Tue 12 May to Wed 6 May – Tue 19 May")
}

func TestNewAndGone(t *testing.T) {
	c := compared(func(p *scheduler.Plan) {
		p.Steps = append(p.Steps, step("more", "windows", "south", scheduler.Waiting, "2026-05-15 08:00", "2026-05-15 16:00"))
		p.Steps[0].Trades = ids{"windows"}
		p.Windows = []scheduler.Window{window(p, "strike"), window(p, "set"), window(p, "tape", "more")}
		p.Holds = []scheduler.PlannedHold{p.Holds[1], {ID: "sized", Title: "Sizes frozen", Kind: scheduler.Decision, By: "kim", Planned: at("2026-05-08 08:00")}}
		p.Orders = []scheduler.PlannedOrder{{ID: "boards", Title: "Boards", Supplier: "works", Planned: at("2026-05-07 08:00"), Delivery: at("2026-06-07 08:00")}}
	})
	wantTexts(
		t, c,
		"works: the order of “Glass”, which was planned on Tue 5 May, is no longer needed",
		"works: the order of “Boards” is new, on Thu 7 May",
		"works: the delivery of “Glass”, which was planned on Tue 12 May, is no longer needed",
		"works: the delivery of “Boards” is new, on Sun 7 Jun",
		"framing: North wall, which was planned on Wed 6 May, is no longer needed",
		"windows: North wall is new, on Wed 6 May",
		"windows: South wall is new, on Fri 15 May",
		"kim: “Sizes frozen” is new, on Fri 8 May",
		"kim: “Frame seen”, which was planned on Tue 12 May, is no longer needed",
	)
}

// What is over is past: nobody needs to hear of it. What has begun is told by its end.
func TestWhatIsOverAndWhatHasBegun(t *testing.T) {
	c := compared(func(p *scheduler.Plan) {
		p.AsOf = at("2026-05-12 00:00")
		p.Steps[0].State, p.Steps[0].Finish = scheduler.Complete, at("2026-05-08 16:00")
		p.Steps[1].State, p.Steps[1].Start, p.Steps[1].Finish = scheduler.Underway, at("2026-05-10 08:00"), at("2026-05-13 16:00")
		p.Windows = []scheduler.Window{window(p, "set"), window(p, "tape")}
		p.Holds[0].State, p.Holds[0].Planned = scheduler.Complete, at("2026-05-11 08:00")
		p.Orders[0].State, p.Orders[0].Planned = scheduler.Underway, at("2026-05-08 08:00")
	})
	wantTexts(t, c, "framing: North wall is planned until Wed 13 May instead of Tue 12 May")
	if first := c.Calls[0].First; first != day("2026-05-12") {
		t.Errorf("it concerns them from %s", first)
	}
	if !slices.Equal(c.Calls[0].People, ids{"fay"}) {
		t.Errorf("people %v", c.Calls[0].People)
	}
}

// A hold point that passes to somebody else is told to that person.
func TestAnotherReleaser(t *testing.T) {
	c := compared(func(p *scheduler.Plan) { p.Holds[0].By = "fay" })
	wantTexts(t, c, "fay: “Frame seen” stays on Tue 12 May and is now yours")
}

func TestLongSentencesAreCounted(t *testing.T) {
	was, is := before(), before()
	for k := range 7 {
		id := scheduler.ID("s" + string(rune('a'+k)))
		place := scheduler.ID("p" + string(rune('a'+k)))
		was.Steps = append(was.Steps, step(id, "works", place, scheduler.Waiting, "2026-05-06 08:00", "2026-05-06 16:00"))
		is.Steps = append(is.Steps, step(id, "works", place, scheduler.Waiting, "2027-01-07 08:00", "2027-01-07 16:00"))
		was.Windows = append(was.Windows, window(was, id))
		is.Windows = append(is.Windows, window(is, id))
	}
	c := compare.Plans(was, is, job())
	if len(c.Calls) != 1 || len(c.Calls[0].Lines) != 7 {
		t.Fatalf("%+v", c.Calls)
	}
	s := c.Calls[0].Sentence
	if !strings.HasPrefix(s, "Window works: pa moves from Wed 6 May to Thu 7 Jan 2027; pb moves") || !strings.HasSuffix(s, "; and 3 more.") {
		t.Error(s)
	}
}
