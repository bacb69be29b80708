package web

import (
	"cmp"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
	"gaugerod/web/draw"
)

// wouldPage is what one more change of a trial would move, in a few sentences and as
// places in the picture: the script shows it while something is dragged. It is no page
// of its own and has no frame.
type wouldPage struct {
	Says    []Line
	Shadows []shadow
}

// shadow is where a step would be in the picture, in pixels.
type shadow struct {
	Step     string
	From, To int
}

func (wouldPage) name() string { return "would" }

// would plans the trial with the change in the address. Nothing is kept.
func (p *Pages) would(c echo.Context) error {
	t, err := p.trialOf(c)
	if err != nil {
		return err
	}
	in := readForm(c, trialFields...)
	pg := wouldPage{}
	if op := in.op(); in.ok() {
		pg, err = p.wouldBe(c, t.Ops, op)
	}
	if err != nil {
		if err := in.trialRefused(err); err != nil {
			return err
		}
	}
	if !in.ok() {
		return p.render(c, http.StatusUnprocessableEntity, wouldPage{Says: []Line{say(in.anyProblem())}})
	}
	return p.render(c, http.StatusOK, pg)
}

// wouldBe is a trial with one more change beside the trial as it is shown.
func (p *Pages) wouldBe(c echo.Context, ops []trial.Op, op trial.Op) (wouldPage, error) {
	ctx, job := c.Request().Context(), scheduler.ID(c.Param("job"))
	shown, err := p.office.Try(ctx, job, ops)
	if err != nil {
		return wouldPage{}, err
	}
	tried, err := p.office.Try(ctx, job, trial.With(ops, op))
	if err != nil {
		return wouldPage{}, err
	}
	now, errNow := p.boardOf(c, shown.Now, false)
	is, errIs := p.boardOf(c, shown.Then, false)
	then, errThen := p.boardOf(c, tried.Then, false)
	if err := cmp.Or(errNow, errIs, errThen); err != nil {
		return wouldPage{}, err
	}
	shows, err := now.timeOfTrial(c, is)
	if err != nil {
		return wouldPage{}, err
	}
	pg := wouldPage{Says: append(then.wouldSay(is, op), then.compareSays(tried.Moved)...)}
	pg.Says = append(pg.Says, say(upper(number(len(tried.Fresh), "new alert"))+", "+number(len(tried.Gone), "alert")+" less, "+number(len(tried.Moved.Calls), "call")+" to make."))
	pg.Shadows = then.shadows(is, is.scaleOf(shows))
	return pg, nil
}

// anyProblem is one thing that stands against a form.
func (f *form) anyProblem() string {
	if f.Wrong != "" {
		return f.Wrong
	}
	var all []string
	for field, says := range f.problems {
		all = append(all, field+": "+says)
	}
	slices.Sort(all)
	return strings.Join(all, " ")
}

// wouldSay is what becomes of the step that is moved, and how much moves with it.
func (b *board) wouldSay(shown *board, op trial.Op) []Line {
	says := []Line{say(heavy(upper(op.Say(b.Job))), ".")}
	moved := 0
	for id, s := range b.steps {
		if was := shown.steps[id]; was != nil && (!was.Start.Equal(s.Start) || !was.Finish.Equal(s.Finish)) {
			moved++
		}
	}
	if s := b.steps[movedBy(op)]; s != nil {
		if was := shown.steps[s.ID]; was != nil && moved == 0 {
			return append(says, say("It stays on "+b.days(s)+"."+heldBy(s)))
		}
		says = append(says, say("It is then planned "+b.days(s)+", and "+number(max(0, moved-1), "other step")+" would move."))
	}
	if against := newContradiction(shown.Plan, b.Plan); against != "" {
		says = append(says, say(heavy("That contradicts what else is said"), ": "+against))
	}
	return says
}

// newContradiction is what contradicts itself in a plan and not in another, in words.
func newContradiction(before, after *scheduler.Plan) string {
	texts := func(c *scheduler.Contradiction) string {
		all := make([]string, len(c.Statements))
		for k := range c.Statements {
			all[k] = strings.TrimSuffix(c.Statements[k].Text, ".")
		}
		return strings.Join(all, "; ") + "."
	}
	known := map[string]bool{}
	for k := range before.Contradictions {
		known[texts(&before.Contradictions[k])] = true
	}
	for k := range after.Contradictions {
		if says := texts(&after.Contradictions[k]); !known[says] {
			return says
		}
	}
	return ""
}

// movedBy is the step that a change moves.
func movedBy(op trial.Op) scheduler.ID {
	switch {
	case op.Pin != nil:
		return op.Pin.Step
	case op.Expected != nil:
		return op.Expected.Step
	}
	return ""
}

// shadows is where the steps that move would be, on a scale on which they stand now.
func (b *board) shadows(shown *board, scale *draw.Scale) []shadow {
	var all []shadow
	for k := range shown.Plan.Steps {
		was := &shown.Plan.Steps[k]
		is := b.steps[was.ID]
		if is == nil || was.Start.Equal(is.Start) && was.Finish.Equal(is.Finish) || !scale.Shows(was.Start, was.Finish) {
			continue
		}
		from, to := scale.X(is.Start), scale.X(is.Finish)
		all = append(all, shadow{string(is.ID), int(from), int(max(to, from+4))})
	}
	return all
}
