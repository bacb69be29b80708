package scheduler_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
)

var east = time.FixedZone("", 10*60*60)

func moment(s string) time.Time {
	t, err := time.ParseInLocation("2006-01-02 15:04", s, east)
	if err != nil {
		panic(err)
	}
	return t
}

func window(steps []scheduler.ID, from, until string) scheduler.Window {
	return scheduler.Window{
		ID: "framing.n1." + string(steps[0]), Trade: "framing", Place: "n1", Steps: steps, From: moment(from), Until: moment(until),
	}
}

type ids = []scheduler.ID

func planOf(windows ...scheduler.Window) *scheduler.Plan {
	return &scheduler.Plan{Job: "shed", AsOf: moment("2026-03-10 00:00"), Windows: windows}
}

func byIda(on string) scheduler.Issue { return scheduler.Issue{On: day(on), By: "ida"} }

func TestLetters(t *testing.T) {
	for n, want := range map[int]string{0: "A", 1: "B", 25: "Z", 26: "AA", 27: "AB", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		if got := scheduler.Letter(n); got != want {
			t.Errorf("letter %d is %q, want %q", n, got, want)
		}
	}
}

func TestIssuesFollowEachOther(t *testing.T) {
	j := small()
	for k, want := range []string{"A", "B", "C"} {
		given := byIda("2026-03-11")
		given.Letter, given.AsOf = "Q", day("2020-01-01") // do not count
		letter, err := j.Issue(planOf(window(ids{"frame"}, "2026-03-12 08:00", "2026-03-13 16:00")), given)
		must(t, err)
		if letter != want || j.LastIssue().Letter != want || j.LastIssue().AsOf != day("2026-03-10") {
			t.Errorf("issue %d has the letter %q as of %s", k, letter, j.LastIssue().AsOf)
		}
	}
	if len(j.Promises) != 1 || j.Promises[0].Letter != "C" || j.FindIssue("B") == nil || j.FindIssue("D") != nil {
		t.Errorf("promises %v, issues %v", j.Promises, j.Issues)
	}
}

func TestIssueThatIsRefused(t *testing.T) {
	j := small()
	_, err := j.Issue(planOf(), byIda("2026-03-11"))
	must(t, err)
	other := planOf()
	other.Job = "barn"
	for name, c := range map[string]struct {
		plan *scheduler.Plan
		i    scheduler.Issue
		kind error
	}{
		"by nobody":           {planOf(), scheduler.Issue{On: day("2026-03-11")}, scheduler.ErrIncomplete},
		"by a stranger":       {planOf(), scheduler.Issue{On: day("2026-03-11"), By: "x"}, scheduler.ErrNotFound},
		"of another job":      {other, byIda("2026-03-11"), scheduler.ErrImpossible},
		"before the last one": {planOf(), byIda("2026-03-10"), scheduler.ErrImpossible},
	} {
		before := small()
		before.Issues, before.Promises = j.Issues, j.Promises
		if _, err := j.Issue(c.plan, c.i); !errors.Is(err, c.kind) || !cmp.Equal(before, j) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A window that ends at midnight ends on the day before; days are those of the zone.
func TestWindowDays(t *testing.T) {
	for _, c := range []struct{ from, until, first, last string }{
		{"2026-03-12 00:00", "2026-03-13 00:00", "2026-03-12", "2026-03-12"},
		{"2026-03-12 23:59", "2026-03-13 00:01", "2026-03-12", "2026-03-13"},
		{"2026-03-12 00:00", "2026-03-12 00:00", "2026-03-12", "2026-03-12"},
	} {
		w := window(ids{"frame"}, c.from, c.until)
		if first, last := w.Days(); first != day(c.first) || last != day(c.last) {
			t.Errorf("%s to %s: %s to %s", c.from, c.until, first, last)
		}
	}
}

func TestConfirmationOutlivesAnIssueWithTheSameDays(t *testing.T) {
	j := small()
	w := window(ids{"frame", "n1.pan"}, "2026-03-12 08:00", "2026-03-13 16:00")
	_, err := j.Issue(planOf(w), byIda("2026-03-10"))
	must(t, err)
	must(t, j.Confirm(&w, "framing", day("2026-03-11")))
	if p := j.Promises[0]; p.Letter != "A" || *p.Confirmed != day("2026-03-11") || p.By != "framing" {
		t.Fatalf("confirmed: %+v", p)
	}
	// The same days, of a window that has lost a step: still confirmed.
	_, err = j.Issue(planOf(window(ids{"n1.pan"}, "2026-03-12 10:00", "2026-03-13 12:00")), byIda("2026-03-11"))
	must(t, err)
	if p := j.Promises[0]; p.Letter != "B" || p.Confirmed == nil || p.Window != "framing.n1.n1.pan" {
		t.Errorf("the same days: %+v", p)
	}
	// Other days: to be asked anew.
	_, err = j.Issue(planOf(window(ids{"n1.pan"}, "2026-03-12 10:00", "2026-03-16 12:00")), byIda("2026-03-11"))
	must(t, err)
	if p := j.Promises[0]; p.Letter != "C" || p.Confirmed != nil || p.By != "" {
		t.Errorf("other days: %+v", p)
	}
}

func TestConfirm(t *testing.T) {
	j := small()
	j.People = append(j.People, scheduler.Person{ID: "fay", Trade: "framing"}, scheduler.Person{ID: "wim", Trade: "windows"})
	both := window(ids{"frame", "n1.pan"}, "2026-03-12 08:00", "2026-03-17 16:00")
	// Without an issue a confirmed window is promised too.
	must(t, j.Confirm(&both, "fay", day("2026-03-10")))
	if err := j.Confirm(&both, "framing", day("2026-03-11")); !errors.Is(err, scheduler.ErrAlready) {
		t.Errorf("once more: %v", err)
	}
	// Parted since: one part is agreed anew on other days, the rest stays promised.
	first := window(ids{"frame"}, "2026-03-12 08:00", "2026-03-13 16:00")
	must(t, j.Confirm(&first, "framing", day("2026-03-12")))
	want := []scheduler.Promise{
		{Window: "framing.n1.frame", Trade: "framing", Place: "n1", Steps: ids{"frame"}, From: day("2026-03-12"), Until: day("2026-03-13"), Confirmed: ptr(day("2026-03-12")), By: "framing"},
		{Window: "framing.n1.n1.pan", Trade: "framing", Place: "n1", Steps: ids{"n1.pan"}, From: day("2026-03-12"), Until: day("2026-03-17"), Confirmed: ptr(day("2026-03-10")), By: "fay"},
	}
	if d := cmp.Diff(want, j.Promises); d != "" {
		t.Errorf("parted (-want +got):\n%s", d)
	}
	for name, c := range map[string]struct {
		trade, by scheduler.ID
		kind      error
	}{
		"another firm's person": {"framing", "wim", scheduler.ErrNotTheirs},
		"nobody":                {"framing", "", scheduler.ErrIncomplete},
		"another trade":         {"framing", "windows", scheduler.ErrNotFound},
		"an unknown trade":      {"plumbing", "ida", scheduler.ErrNotFound},
	} {
		w := both
		w.Trade = c.trade
		if err := j.Confirm(&w, c.by, day("2026-03-12")); !errors.Is(err, c.kind) || !cmp.Equal(want, j.Promises) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Days that a trade agrees to in the place of issued ones are no longer the issue's.
func TestConfirmOtherDaysThanIssued(t *testing.T) {
	j := small()
	_, err := j.Issue(planOf(window(ids{"frame"}, "2026-03-12 08:00", "2026-03-13 16:00")), byIda("2026-03-10"))
	must(t, err)
	w := window(ids{"frame"}, "2026-03-16 08:00", "2026-03-17 16:00")
	must(t, j.Confirm(&w, "framing", day("2026-03-12")))
	if p := j.Promises[0]; len(j.Promises) != 1 || p.Letter != "" || p.From != day("2026-03-16") || p.Confirmed == nil {
		t.Errorf("%+v", j.Promises)
	}
}

func TestCannotCome(t *testing.T) {
	j := small()
	w := window(ids{"frame"}, "2026-03-12 08:00", "2026-03-13 16:00")
	a := scheduler.Answer{From: day("2026-03-12"), To: day("2026-03-16"), On: day("2026-03-11"), By: "framing", Note: "Another  job,\nfar away"}
	must(t, j.CannotCome(&w, a))
	wantOff := []scheduler.Closure{{From: a.From, To: a.To, Why: "cannot come: Another job, far away"}}
	if d := cmp.Diff(wantOff, j.Trades[0].Off); d != "" {
		t.Error(d)
	}
	want := a
	want.Window, want.Trade, want.Place, want.Steps = "framing.n1.frame", "framing", "n1", ids{"frame"}
	if d := cmp.Diff([]scheduler.Answer{want}, j.Answers); d != "" {
		t.Error(d)
	}
	if err := j.CannotCome(&w, a); !errors.Is(err, scheduler.ErrAlready) {
		t.Errorf("once more: %v", err)
	}
	// Of another window on days that are off already: told, and not off twice.
	inside := a
	inside.From = day("2026-03-13")
	must(t, j.CannotCome(&w, inside))
	if len(j.Answers) != 2 || len(j.Trades[0].Off) != 1 {
		t.Errorf("answers %v, off %v", j.Answers, j.Trades[0].Off)
	}
	for name, c := range map[string]struct {
		change func(*scheduler.Answer)
		kind   error
	}{
		"ends before it begins": {func(a *scheduler.Answer) { a.To = day("2026-03-11") }, scheduler.ErrImpossible},
		"is past":               {func(a *scheduler.Answer) { a.From, a.To = day("2026-03-09"), day("2026-03-10") }, scheduler.ErrImpossible},
		"is far too long":       {func(a *scheduler.Answer) { a.To = day("2027-03-13") }, scheduler.ErrImpossible},
		"by another person":     {func(a *scheduler.Answer) { a.By = "stranger" }, scheduler.ErrNotFound},
	} {
		b := a
		c.change(&b)
		if err := j.CannotCome(&w, b); !errors.Is(err, c.kind) || len(j.Answers) != 2 || len(j.Trades[0].Off) != 1 {
			t.Errorf("%s: %v", name, err)
		}
	}
	j.Trades[0].Off = []scheduler.Closure{{From: day("2026-03-16"), To: day("2026-03-20")}}
	if first, last, ok := j.DaysOff(&j.Answers[0]); !ok || first != day("2026-03-16") || last != first {
		t.Errorf("still off from %s to %s, %v", first, last, ok)
	}
	j.Trades[0].Off = nil
	if _, _, ok := j.DaysOff(&j.Answers[0]); ok {
		t.Error("settled, and still off")
	}
	long := a
	long.Note = strings.Repeat("ä", 500)
	must(t, j.CannotCome(&w, long))
	if why := []rune(j.Trades[0].Off[0].Why); len(why) > 220 || why[len(why)-1] != '…' {
		t.Errorf("%d letters of why", len(why))
	}
}

func TestATradeTellsOfItsOwnWork(t *testing.T) {
	j := small()
	must(t, j.Record(scheduler.Fact{Step: "frame", Started: when("2026-03-03"), By: "framing", Note: "Two walls stand."}))
	if err := j.Record(scheduler.Fact{Step: "frame", By: "plumbing"}); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("an unknown trade: %v", err)
	}
	for _, f := range []scheduler.Fact{
		{Step: "colour", Released: when("2026-03-03"), By: "framing"},
		{Step: "colour", Refused: when("2026-03-03"), By: "framing"},
	} {
		if err := j.Record(f); !errors.Is(err, scheduler.ErrNotFound) {
			t.Errorf("a trade that is no person releases or refuses: %v", err)
		}
	}
}

func TestStandingOf(t *testing.T) {
	plan := &scheduler.Plan{Steps: []scheduler.PlannedStep{
		{ID: "a", Trades: ids{"framing"}, Places: ids{"n1"}, State: scheduler.Waiting, Start: moment("2026-03-12 08:00"), Finish: moment("2026-03-13 16:00")},
		{ID: "b", Trades: ids{"framing", "windows"}, Places: ids{"n1", "n2"}, State: scheduler.Waiting, Start: moment("2026-03-16 08:00"), Finish: moment("2026-03-17 00:00")},
		{ID: "c", Trades: ids{"framing"}, Places: ids{"n2"}, State: scheduler.Waiting, Start: moment("2026-03-20 08:00"), Finish: moment("2026-03-20 16:00")},
	}}
	of := func(steps ...scheduler.ID) scheduler.Standing {
		return scheduler.StandingOf(plan.FindStep, "framing", "n1", steps)
	}
	from, until := day("2026-03-12"), day("2026-03-16")
	wantMoved := func(what string, s scheduler.Standing, want bool) {
		t.Helper()
		if s.Moved(from, until) != want {
			t.Errorf("%s: %+v", what, s)
		}
	}
	s := of("a", "b", "c", "gone")
	if d := cmp.Diff(scheduler.Standing{From: from, Until: until}, s); d != "" {
		t.Error(d)
	}
	wantMoved("as planned", s, false)
	wantMoved("c lies in another place", of("c"), true)
	if s := of("c", "gone"); !s.Gone {
		t.Errorf("gone: %+v", s)
	}
	plan.Steps[1].Finish = moment("2026-03-17 08:00")
	wantMoved("ends a day later", of("a", "b"), true)
	plan.Steps[1].Finish = moment("2026-03-16 08:01")
	plan.Steps[0].Start = moment("2026-03-11 08:00")
	wantMoved("starts a day earlier", of("a", "b"), true)
	plan.Steps[0].State = scheduler.Complete
	wantMoved("started a day earlier", of("a", "b"), false)
	plan.Steps[1].Finish = moment("2026-03-13 16:00")
	wantMoved("begun, and over sooner", of("a", "b"), false)
	plan.Steps[1].Finish = moment("2026-03-18 16:00")
	wantMoved("begun, and over later", of("a", "b"), true)
	plan.Steps[1].State = scheduler.Complete
	wantMoved("done later than promised", of("a", "b"), false)
}
