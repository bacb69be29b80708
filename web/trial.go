package web

import (
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/api/rights"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// trialPage is one trial: what it changes, what moves, and who would have to be told.
type trialPage struct {
	Frame
	Name    string
	Base    string // where its forms go
	Edit    string // where all else is changed in it
	Version int
	Made    Line
	Adopted Line // where it was adopted, empty: it is open
	May     bool // the reader may change it
	Form    form
	Choices trialChoices
	Ops     []trialOp
	Look    string // a change that is looked at and not added; empty: none
	Wrong   string // why there is no plan with these changes

	NotYours string // why the reader may not adopt it, empty: may

	Says  []Line // the finish and the due days
	Fresh folded[alertEntry]
	Gone  folded[alertEntry]
	Calls folded[callEntry]
	Moves []moveGroup
	trialPicture
}

// trialOp is one change of a trial.
type trialOp struct {
	Number int
	Says   string
}

func (trialPage) name() string { return "trial" }

// trial shows one trial. With a change in the address, what it would come to with that
// is shown and nothing is kept.
func (p *Pages) trial(c echo.Context) error {
	in := form{}
	if c.QueryParam("what") != "" {
		in = readForm(c, trialFields...)
	}
	return p.showTrial(c, http.StatusOK, in)
}

// look is the change that is looked at and not added: what the address says beside the
// trial, in words and as the statements of the trial with it.
func (b *board) look(t *db.Trial, in *form) (says string, ops []trial.Op) {
	if in.Value("what") == "" || !t.Open() {
		return "", t.Ops
	}
	op := in.op()
	if !in.ok() {
		return "", t.Ops
	}
	return upper(op.Say(b.Job)), trial.With(t.Ops, op)
}

func (p *Pages) showTrial(c echo.Context, status int, in form) error {
	t, err := p.trialOf(c)
	if err != nil {
		return err
	}
	sheet, err := p.office.Sheet(c.Request().Context(), scheduler.ID(c.Param("job")), nil)
	if err != nil {
		return err
	}
	b, err := p.boardOf(c, sheet, false)
	if err != nil {
		return err
	}
	look, ops := "", t.Ops
	if status == http.StatusOK {
		look, ops = b.look(&t, &in)
	}
	b.choose(c, &in)
	pg := newTrialPage(b, &t, in)
	pg.Look = look
	if t.Open() {
		if err := p.tryOut(c, b, &pg, ops); err != nil {
			return err
		}
	}
	pg.say(c, b)
	return p.render(c, status, pg)
}

// tryOut fills in what comes of the changes, or why nothing does.
func (p *Pages) tryOut(c echo.Context, b *board, pg *trialPage, ops []trial.Op) error {
	tried, err := p.office.Try(c.Request().Context(), b.Job.ID, ops)
	if err != nil {
		said := form{}
		if err := said.trialRefused(err); err != nil {
			return err
		}
		pg.Wrong = said.Wrong
		return nil
	}
	then, err := p.boardOf(c, tried.Then, false)
	if err != nil {
		return err
	}
	if err := pg.over(c, b, then); err != nil {
		return err
	}
	pg.outcome(b, then, tried)
	return nil
}

func newTrialPage(b *board, t *db.Trial, in form) trialPage {
	pg := trialPage{
		Frame: b.frame("Trial: "+t.Title, "/trials"), Name: t.Title, Base: b.trialLink(t.Number), Version: t.Version, Form: in,
		Made: say("Trial "+strconv.Itoa(t.Number)+", made by "+b.who(scheduler.ID(t.MadeBy))+", ", b.on(t.MadeAt).is(recordedDay), "."),
		May:  t.Open() && b.may("/trials/:trial/add"),
	}
	pg.Form.Name = "trial"
	if err := rights.Adopt(b.visitor, t.Ops); err != nil {
		pg.NotYours = err.Error()
	}
	for k, op := range t.Ops {
		pg.Ops = append(pg.Ops, trialOp{k + 1, upper(op.Say(b.Job))})
	}
	if t.Adopted != nil {
		pg.Adopted = b.inRevision(*t.Adopted)
	}
	if pg.May {
		pg.Scripts = []string{"field.js", "trial.js"}
		pg.Edit = b.trialLink(t.Number) + "/edit"
		pg.Choices = b.trialChoices()
	}
	return pg
}

// callsAtOnce is how many calls a trial shows before the rest is folded.
const callsAtOnce = 8

// outcome fills in what the plan of a trial is beside the one of today.
func (pg *trialPage) outcome(now, then *board, tried *office.Tried) {
	c := tried.Moved
	then.unkept = true
	pg.Says, pg.Calls, pg.Moves = then.compareSays(c), foldAfter(then.callsOf(c), callsAtOnce), then.moves(c)
	pg.Fresh, pg.Gone = then.foldedAlerts(tried.Fresh), now.foldedAlerts(tried.Gone)
	pg.pictureOf(now, then, c)
}
