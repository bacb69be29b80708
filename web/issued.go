package web

import (
	"errors"
	"net/http"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/worktime"
)

// issuedPage is the plans that were sent out, what has moved since, and whom to tell.
type issuedPage struct {
	Frame
	Next    string // the letter of the next issue
	Form    form
	People  *choices
	Action  string // where the form to issue goes, empty: the reader may not
	Since   string // the issue that is compared; empty: nothing is
	Why     string // why nothing is compared
	Says    []Line // the finish and the due days
	Calls   []callEntry
	Moves   []moveGroup
	Issues  []issueEntry
	Kept    string // how many windows are promised and confirmed
	Answers []Line
}

// callEntry is somebody to be told.
type callEntry struct {
	Who      Line
	First    Part
	Sentence string
}

// moveGroup is what has moved of one kind.
type moveGroup struct {
	Title string
	Moves []moveEntry
}

type moveEntry struct {
	What, Was, Is Line
}

type issueEntry struct {
	Letter   string
	On, AsOf Part
	By, Note string
	Compare  string // where the current plan is held against it
	Here     bool
}

func (issuedPage) name() string { return "issued" }

func (p *Pages) issued(c echo.Context) error {
	return p.showIssued(c, http.StatusOK, form{})
}

// showIssued shows the page as of the day from which the job is planned anyway.
func (p *Pages) showIssued(c echo.Context, status int, in form) error {
	id, since := scheduler.ID(c.Param("job")), c.QueryParam("since")
	ctx := c.Request().Context()
	sheet, issued, moved, err := p.office.Moved(ctx, id, since)
	why := ""
	switch {
	case errors.Is(err, office.ErrNoIssue):
		why = "No plan has been issued yet. Issue one, and every later plan is held against it."
	case errors.Is(err, office.ErrPlanElsewhere):
		why = "That issue came with a job file, which tells of it and does not hold its plan. What is promised to trades is watched all the same."
	case err != nil:
		return err
	}
	if why != "" {
		if sheet, err = p.office.Sheet(ctx, id, nil); err != nil {
			return err
		}
	}
	b, err := p.boardOf(c, sheet, false)
	if err != nil {
		return err
	}
	pg := newIssuedPage(b, in)
	pg.Why = why
	if issued != nil {
		pg.compared(b, issued.Letter, moved)
	}
	pg.say(c, b)
	return p.render(c, status, pg)
}

func newIssuedPage(b *board, in form) issuedPage {
	pg := issuedPage{
		Frame: b.frame("Issued", "/issued"), Next: scheduler.Letter(len(b.Job.Issues)), Form: in, People: b.everybody(),
	}
	if b.may("/issued") {
		pg.Action = b.link("/issued")
	}
	pg.Form.Name = "issue"
	for k := len(b.Job.Issues) - 1; k >= 0; k-- { // the newest first
		i := &b.Job.Issues[k]
		pg.Issues = append(pg.Issues, issueEntry{
			Letter: i.Letter, On: b.onDate(i.On).is(recordedDay), AsOf: b.onDate(i.AsOf).is(asOfDay), By: b.who(i.By), Note: i.Note, Compare: b.base + "/issued?since=" + i.Letter,
		})
	}
	confirmed := 0
	for k := range b.Job.Promises {
		if b.Job.Promises[k].Confirmed != nil {
			confirmed++
		}
	}
	pg.Kept = upper(number(len(b.Job.Promises), "window")) + " promised, " + number(confirmed, "window") + " confirmed by the trade."
	for k := range b.Job.Answers {
		a := &b.Job.Answers[k]
		if a.To >= b.AsOf {
			says := say(b.trade(a.Trade), " cannot come to "+b.place(a.Place)+" from ", b.onDate(a.From).is(promisedDay), " to ", b.onDate(a.To).is(promisedDay))
			if a.Note != "" {
				says = say(says, ": "+a.Note)
			}
			pg.Answers = append(pg.Answers, says)
		}
	}
	return pg
}

// compared fills in what has moved since an issue.
func (pg *issuedPage) compared(b *board, letter string, c *compare.Comparison) {
	pg.Since = letter
	for k := range pg.Issues {
		pg.Issues[k].Here = pg.Issues[k].Letter == letter
	}
	if c.Nothing() {
		pg.Says = []Line{say("Nothing has moved since.")}
		return
	}
	pg.Says, pg.Calls, pg.Moves = b.compareSays(c), b.callsOf(c), b.moves(c)
}

// compareSays is what became of the finish and the due days.
func (b *board) compareSays(c *compare.Comparison) (says []Line) {
	if c.Nothing() {
		return []Line{say("No day moves.")}
	}
	if c.Finish.Later == 0 {
		says = append(says, say("The finish stays on ", b.to(b.onDate(c.Finish.Is), b.lastStep(), heldThere), "."))
	} else {
		says = append(says, say("The finish moves from ", b.onDate(c.Finish.Was).is(formerDay), " to ", say(b.to(b.onDate(c.Finish.Is), b.lastStep(), heldThere)).strong(), ", "+later(c.Finish)+"."))
	}
	for _, d := range c.Dues {
		verdict := "which keeps its due day, "
		if d.Missed {
			verdict = "after its due day, "
		}
		says = append(says, say(d.Title+" moves from ", b.onDate(d.Was).is(formerDay), " to ", say(b.to(b.onDate(d.Is), b.dueStep(d.ID), heldThere)).strong(), ", "+verdict, b.onDate(d.By).is(dueDay), "."))
	}
	return says
}

// callsOf is whom to tell of what has moved.
func (b *board) callsOf(c *compare.Comparison) (calls []callEntry) {
	for _, call := range c.Calls {
		who := say(b.trade(call.Who))
		if len(call.People) > 0 {
			var names []string
			for _, id := range call.People {
				names = append(names, b.who(id))
			}
			who = say(who, " ("+listed(names)+")")
		}
		calls = append(calls, callEntry{Who: who, First: b.onDate(call.First).is(formerDay), Sentence: call.Sentence})
	}
	return calls
}

func later(d compare.DayMove) string {
	if d.Later < 0 {
		return number(-d.Later, "day") + " earlier"
	}
	return number(d.Later, "day") + " later"
}

// moves is all that has moved, by kind.
func (b *board) moves(c *compare.Comparison) []moveGroup {
	windows := moveGroup{Title: "Windows of access"}
	for _, w := range c.Windows {
		windows.Moves = append(windows.Moves, moveEntry{
			What: say(b.trade(w.Trade), ", "+b.place(w.Place)), Was: b.was(w.Was), Is: b.stretch(w.Is, w.Steps),
		})
	}
	holds := moveGroup{Title: "Hold points"}
	for _, h := range c.Holds {
		holds.Moves = append(holds.Moves, moveEntry{What: say(b.stepOr(h.ID, h.Title), ", "+b.who(h.By)), Was: b.was(oneDay(h.Was)), Is: b.stretch(oneDay(h.Is), []scheduler.ID{h.ID})})
	}
	orders := moveGroup{Title: "Orders and deliveries"}
	for _, o := range c.Orders {
		var first, last []scheduler.ID
		if p := b.orders[o.ID]; p != nil {
			first, last = []scheduler.ID{b.placing(p)}, []scheduler.ID{b.coming(p)}
		}
		if !o.Placed {
			orders.Moves = append(orders.Moves, moveEntry{What: say(o.Title + ", to be ordered"), Was: b.was(oneDay(o.OrderWas)), Is: b.stretch(oneDay(o.OrderIs), first)})
		}
		orders.Moves = append(orders.Moves, moveEntry{What: say(o.Title + ", delivered"), Was: b.was(oneDay(o.DeliveryWas)), Is: b.stretch(oneDay(o.DeliveryIs), last)})
	}
	var all []moveGroup
	for _, g := range []moveGroup{windows, holds, orders} {
		if len(g.Moves) > 0 {
			all = append(all, g)
		}
	}
	return all
}

// stepOr is a step with a link, or its title where it is gone.
func (b *board) stepOr(id scheduler.ID, title string) Part {
	if b.steps[id] == nil {
		return Part{Text: title}
	}
	return b.step(id)
}

// stretch is the days of some steps; nil: none.
func (b *board) stretch(s *compare.Stretch, steps []scheduler.ID) Line {
	if s == nil {
		return say("not planned")
	}
	return b.stretchOver(s.From, s.Until, steps)
}

// was is the days that something had in the plan before; nil: none.
func (b *board) was(s *compare.Stretch) Line {
	return b.stretch(s, nil).is(formerDay)
}

// dueStep is the step that a due day is for.
func (b *board) dueStep(due scheduler.ID) scheduler.ID {
	for _, d := range b.Plan.Dues {
		if d.ID == due {
			return d.Step
		}
	}
	return ""
}

// stretchOver is a run of days from the start of the first of some steps to the end of
// the last.
func (b *board) stretchOver(from, until worktime.Date, steps []scheduler.ID) Line {
	first, last := b.firstAndLast(steps)
	if from == until {
		return say(b.to(b.onDate(from), first, heldThere))
	}
	return say(b.to(b.onDate(from), first, heldThere), " to ", b.to(b.onDate(until), last, heldThere))
}

// span is the days that a page shows.
func (b *board) span(from, until worktime.Date) Line {
	return b.stretchOf(from, until).is(spanDay)
}

func (b *board) stretchOf(from, until worktime.Date) Line {
	if from == until {
		return say(b.onDate(from))
	}
	return say(b.onDate(from), " to ", b.onDate(until))
}

// issue sends out the plan that its reader sees.
func (p *Pages) issue(c echo.Context) error {
	in := readForm(c, "by", "note")
	e := p.edit(c, &in)
	e.At, e.Seen = e.Seen, 0 // nothing but what was seen is sent out
	i := scheduler.Issue{By: scheduler.ID(in.Value("by")), Note: in.Value("note")}
	if in.ok() {
		letter, _, err := p.office.Issue(c.Request().Context(), scheduler.ID(c.Param("job")), e, i)
		if err == nil {
			return p.leadOn(c, scheduler.ID(c.Param("job")), "/jobs/"+c.Param("job")+"/issued?said=issued&since="+letter)
		}
		if !issueRefused(&in, err) {
			return err
		}
	}
	return p.showIssued(c, http.StatusUnprocessableEntity, in)
}

// issueRefused puts what was said against an issue into the form, and is false for
// errors that have no place there.
func issueRefused(in *form, err error) bool {
	refusal, ok := errors.AsType[*scheduler.Refusal](err)
	switch {
	case errors.Is(err, db.ErrStale):
		in.Wrong = "The job has changed since this page was shown, so that another plan would go out. Look at what has moved now, and issue it if it is right."
	case ok:
		in.refused(refusal)
	default:
		return false
	}
	return true
}

func oneDay(d *worktime.Date) *compare.Stretch {
	if d == nil {
		return nil
	}
	return &compare.Stretch{From: *d, Until: *d}
}
