package web

import (
	"cmp"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/trial"
)

// errNoTrialJob says that a trial has no job to change: it has ended, or does not go.
var errNoTrialJob = errors.New("the trial has no job that could be changed")

// boardToEdit is the job whose things are changed: that of a trial, with its changes,
// where the address names one.
func (p *Pages) boardToEdit(c echo.Context) (*board, error) {
	if c.Param("trial") == "" {
		return p.board(c)
	}
	t, err := p.trialOf(c)
	if err != nil {
		return nil, err
	}
	if !t.Open() {
		return nil, errNoTrialJob
	}
	tried, err := p.office.Try(c.Request().Context(), scheduler.ID(c.Param("job")), t.Ops)
	if err != nil {
		if said := (&form{}); said.trialRefused(err) != nil {
			return nil, err
		}
		return nil, errNoTrialJob
	}
	b, err := p.boardOf(c, tried.Then, false)
	if err != nil {
		return nil, err
	}
	b.trying, b.tried = &t, tried.Now.Revision
	return b, nil
}

// orToTrial leads to the trial where its job cannot be changed: its page says why.
func (p *Pages) orToTrial(c echo.Context, err error) error {
	if errors.Is(err, errNoTrialJob) {
		return c.Redirect(http.StatusSeeOther, "/jobs/"+c.Param("job")+"/trials/"+c.Param("trial"))
	}
	return err
}

// tab is the tab under which things are changed.
func (b *board) tab() string {
	if b.trying != nil {
		return "/trials"
	}
	return "/edit"
}

// trialPart is the trial in which things are changed, empty: it is the job itself.
func (b *board) trialPart() Part {
	if b.trying == nil {
		return Part{}
	}
	return Part{Text: b.trying.Title, Href: b.trialLink(b.trying.Number)}
}

// tryIn is where a change can be tried instead of being made.
type tryIn struct {
	May    bool
	Trials *choices // that are open; a new one can always be begun
}

// tryIn is the trials in which the reader may try something.
func (p *Pages) tryIn(c echo.Context, b *board) (tryIn, error) {
	if b.trying != nil || !b.may("/trials/:trial/add") {
		return tryIn{}, nil
	}
	all, err := p.office.Trials().Trials(c.Request().Context(), b.Job.ID)
	if err != nil {
		return tryIn{}, err
	}
	var open []choice
	for k := range all {
		if t := &all[k]; t.Open() {
			open = append(open, choice{strconv.Itoa(t.Number), t.Title})
		}
	}
	return tryIn{May: true, Trials: newChoices(open)}, nil
}

// renderEdit shows the form of a thing.
func (p *Pages) renderEdit(c echo.Context, status int, b *board, pg editPage) (err error) {
	if pg.TryIn, err = p.tryIn(c, b); err != nil {
		return err
	}
	return p.render(c, status, pg)
}

// tryThing puts what was typed into a trial: the one that the address or the form
// names, else a new one.
func (p *Pages) tryThing(c echo.Context, f *sentThing, in *form) error {
	if f.values.Get("do") == "try-remove" {
		f.put = nil
	}
	ops, err := f.ops()
	if err != nil {
		return err
	}
	return p.putIntoTrial(c, f.board, in, ops)
}

// ops is what was typed as changes of a trial: one, or of what the job says of itself
// one for each key.
func (f *sentThing) ops() ([]trial.Op, error) {
	if len(f.s.path) > 0 {
		path, err := pathOf(f.Job, f.s, f.put, f.naming())
		if err != nil {
			return nil, err
		}
		put := &trial.Put{Path: path, Was: f.values.Get("was")}
		if f.put != nil {
			put.Text = f.put.String()
		}
		return []trial.Op{{Put: put}}, nil
	}
	if f.values.Get("was") != markOf(f.s, f.thing) {
		return nil, errMeanwhile
	}
	var ops []trial.Op
	for k := range f.s.kind.fields {
		key, _, _ := strings.Cut(f.s.kind.fields[k].key, ".")
		was, _ := f.thing.Find(key)
		is, there := f.put.Find(key)
		if was.String() == is.String() {
			continue
		}
		put := &trial.Put{Path: []string{key}}
		if there {
			put.Text = is.String()
		}
		ops = trial.With(ops, trial.Op{Put: put})
	}
	if len(ops) == 0 {
		return nil, jobfile.Misfits{{Fault: scheduler.Fault{What: "nothing is changed", Mend: "change something, and try that"}}}
	}
	return ops, nil
}

// putIntoTrial adds changes to a trial and shows it; what stands against them comes back
// as errAgain with the words in the form, or as the jobfile.Misfits of a thing.
func (p *Pages) putIntoTrial(c echo.Context, b *board, in *form, ops []trial.Op) error {
	ctx, e := c.Request().Context(), p.edit(c, in)
	number, err := strconv.Atoi(cmp.Or(c.Param("trial"), c.FormValue("trial"), "0"))
	switch {
	case err != nil || number < 0:
		return echo.NewHTTPError(http.StatusBadRequest, "trial names none")
	case number == 0:
		settled, err := trial.Add(b.Job, nil, ops...)
		if err != nil {
			return in.notTried(err)
		}
		t, err := p.office.MakeTrial(ctx, b.Job.ID, titleOfTrial(b.Job, settled), ops, e)
		if err != nil {
			return in.notTried(err)
		}
		number = t.Number
	default:
		if _, err := p.office.AddToTrial(ctx, b.Job.ID, number, 0, ops, e); err != nil {
			return in.notTried(err)
		}
	}
	return c.Redirect(http.StatusSeeOther, b.trialLink(number)+"#effect")
}

// titleOfTrial is what a trial is called that begins with some changes.
func titleOfTrial(j *scheduler.Job, ops []trial.Op) string {
	title := []rune(upper(trial.Summary(j, ops)))
	if len(title) > mostTitle {
		title = append(title[:mostTitle-1], '…')
	}
	return cmp.Or(string(title), "A trial")
}

// notTried puts what is said against a change into the form of the thing.
func (f *form) notTried(err error) error {
	var m jobfile.Misfits
	var refusal *scheduler.Refusal
	var op *trial.OpError
	switch {
	case errors.As(err, &m):
		return m
	case errors.As(err, &op) && errors.As(op.Cause, &refusal): // of what was just typed
		f.refused(refusal)
		return errAgain
	}
	if err := f.trialRefused(err); err != nil {
		return err
	}
	return errAgain
}
