package web

import (
	"html/template"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/trial"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// trialPage is one trial: what it changes, what moves, and who would have to be told.
type trialPage struct {
	Frame
	Name    string
	Base    string // where its forms go
	Version int
	Made    Line
	Adopted Line // where it was adopted, empty: it is open
	May     bool // the reader may change it
	Form    form
	Choices trialChoices
	Ops     []trialOp
	Look    string // a change that is looked at and not added; empty: none
	Wrong   string // why there is no plan with these changes

	Defs    template.HTML
	Says    []Line // the finish and the due days
	Fresh   folded[alertEntry]
	Gone    folded[alertEntry]
	Picture pictured
	Calls   folded[callEntry]
	Moves   []moveGroup
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
	ops := t.Ops
	look := ""
	if status == http.StatusOK && in.Value("what") != "" && t.Open() {
		if op := in.op(); in.ok() {
			look, ops = upper(op.Say(b.Job)), trial.With(t.Ops, op)
		}
	}
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
	pg.outcome(b, then, tried)
	return nil
}

func newTrialPage(b *board, t *db.Trial, in form) trialPage {
	pg := trialPage{
		Frame: b.frame("Trial: "+t.Title, "/trials"), Name: t.Title, Base: b.trialLink(t.Number), Version: t.Version, Form: in,
		Made: say("Trial "+strconv.Itoa(t.Number)+", made by "+b.who(scheduler.ID(t.MadeBy))+", ", b.on(t.MadeAt), "."),
		May:  t.Open() && b.may("/trials/:trial/add"), Defs: b.defs(),
	}
	pg.Form.Name = "trial"
	for k, op := range t.Ops {
		pg.Ops = append(pg.Ops, trialOp{k + 1, upper(op.Say(b.Job))})
	}
	if t.Adopted != nil {
		pg.Adopted = b.inRevision(*t.Adopted)
	}
	if pg.May {
		pg.Scripts = []string{"trial.js"}
		pg.Choices = b.trialChoices()
	}
	return pg
}

// callsAtOnce is how many calls a trial shows before the rest is folded.
const callsAtOnce = 8

// outcome fills in what the plan of a trial is beside the one of today.
func (pg *trialPage) outcome(now, then *board, tried *office.Tried) {
	c := tried.Moved
	pg.Says, pg.Calls, pg.Moves = then.compareSays(c), foldAfter(then.callsOf(c), callsAtOnce), then.moves(c)
	pg.Fresh, pg.Gone = then.foldedAlerts(tried.Fresh), now.foldedAlerts(tried.Gone)
	if len(c.Windows) > 0 {
		pg.Picture = pictured{"Today's plan and the trial, trade by trade", now.beside(then, c.Windows)}
	}
}

// beside draws the trades that a trial moves: the windows as they would be, and under
// them, thin, the days on which they are planned today.
func (b *board) beside(then *board, moved []compare.WindowMove) draw.Drawing {
	touched := map[scheduler.ID]bool{}
	from, until := b.farDay(), b.AsOf
	for _, w := range moved {
		touched[w.Trade] = true
		for _, s := range []*compare.Stretch{w.Was, w.Is} {
			if s != nil {
				from, until = min(from, s.From), max(until, s.Until)
			}
		}
	}
	from = max(from, b.AsOf) - 3
	days := min(int(until-from)+8, mostBesideDays)
	field := draw.Field{Scale: draw.NewScale(from, days, besideDay, b.hours), AsOf: b.begins, Labels: true}
	for k := range b.Job.Trades {
		t := &b.Job.Trades[k]
		if !touched[t.ID] {
			continue
		}
		if course := b.besideCourse(then, t); showsAny(field.Scale, course) {
			field.Courses = append(field.Courses, course)
		}
	}
	return b.withToday(field).Draw()
}

// How wide a day is in the picture of a trial, and how many it shows at most.
const (
	besideDay      = 18.0
	mostBesideDays = 200
)

func (b *board) farDay() worktime.Date { return b.civilEnd(b.Plan.Finish) + 400 }

// besideCourse is one trade in both plans.
func (b *board) besideCourse(then *board, t *scheduler.Trade) draw.Course {
	course := draw.Course{Title: t.Title}
	was := map[string][]draw.Agreed{}
	for k := range b.Plan.Windows {
		if w := &b.Plan.Windows[k]; w.Trade == t.ID {
			was[w.ID] = append(was[w.ID], draw.Agreed{From: w.From, Until: w.Until, Words: b.place(w.Place) + " today"})
		}
	}
	for k := range then.Plan.Windows {
		w := &then.Plan.Windows[k]
		if w.Trade != t.ID {
			continue
		}
		block := draw.Block{
			Key: w.ID, Href: b.link("/trades/" + string(t.ID)), Tip: b.place(w.Place) + ", " + then.visitDays(*w).Text() + " with the trial.",
			Label: b.place(w.Place), Hatch: b.hatch(t.ID), Start: w.From, Finish: w.Until, Progress: draw.Ready,
		}
		course.Visits = append(course.Visits, draw.Visit{Blocks: []draw.Block{block}, Agreed: was[w.ID]})
		delete(was, w.ID)
	}
	for k := range b.Plan.Windows { // those that the trial no longer has under their name
		if w := &b.Plan.Windows[k]; w.Trade == t.ID && was[w.ID] != nil {
			course.Visits = append(course.Visits, draw.Visit{Agreed: was[w.ID]})
		}
	}
	return course
}
