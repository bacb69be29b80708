package web

import (
	"cmp"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// errAgain says that the form goes back to whoever sent it, with its problems.
var errAgain = errors.New("the form has problems")

// apply makes a change through the office and sends the reader on to a page,
// where what was said and what it moved is shown. A change that the domain does
// not take comes back as errAgain with the problem in the form: nothing is kept.
func (p *Pages) apply(c echo.Context, b *board, in *form, change func(*scheduler.Job) error, to, said string) error {
	return p.applyTo(c, b, in, change, func() string { return to }, said)
}

// applyTo is apply where the page is known only when the change is made.
func (p *Pages) applyTo(c echo.Context, b *board, in *form, change func(*scheduler.Job) error, to func() string, said string) error {
	return p.send(c, b, in, func(e db.Edit) (*office.Sheet, error) {
		return p.office.Change(c.Request().Context(), b.Job.ID, e, change)
	}, to, said)
}

// leadOn leads to another page once the change just made has its plan: so it is of it,
// wherever it is asked for. What goes wrong with the plan that page tells.
func (p *Pages) leadOn(c echo.Context, job scheduler.ID, to string) error {
	ctx := c.Request().Context()
	if _, err := p.office.Sheet(ctx, job, nil); err != nil && ctx.Err() != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, to)
}

// send is applyTo of a change that the office makes itself. The address that it leads to
// may ask for something.
func (p *Pages) send(c echo.Context, b *board, in *form, do func(db.Edit) (*office.Sheet, error), to func() string, said string) error {
	if !in.ok() {
		return errAgain
	}
	sheet, err := do(p.edit(c, in))
	if err != nil {
		return in.take(b, err)
	}
	v := url.Values{"said": {said}}
	if b.query == "" {
		v.Set("was", b.civilEnd(b.Plan.Finish).String())
		v.Set("moved", strconv.Itoa(moved(b, sheet)))
	} else {
		v.Set("as-of", b.AsOf.String())
	}
	path, asked, _ := strings.Cut(to(), "?")
	if asked != "" {
		asked += "&"
	}
	return c.Redirect(http.StatusSeeOther, b.base+path+"?"+asked+v.Encode())
}

// take puts what the domain says against a change where the reader finds it.
func (f *form) take(b *board, err error) error {
	var refusal *scheduler.Refusal
	var faults scheduler.Faults
	var touched *db.TouchedError
	switch {
	case errors.As(err, &touched):
		f.Wrong = b.changedMeanwhile(touched.Line)
	case errors.As(err, &refusal) && !errors.Is(err, scheduler.ErrNotFound):
		f.refused(refusal)
	case errors.As(err, &refusal) && refusal.Field == "by":
		f.refused(refusal)
	case errors.As(err, &faults) && len(faults) > 0:
		first := faults[0]
		f.Wrong = first.What
		if first.Mend != "" {
			f.Wrong += "; " + first.Mend
		}
	default:
		return err
	}
	return errAgain
}

// fieldOf is the form's field for a field of a command, where they differ.
var fieldOf = map[string]string{"released": "day", "refused": "day", "booked": "day", "expected": "day", "at": "day", "person": "by"}

func (f *form) refused(r *scheduler.Refusal) {
	name := cmp.Or(fieldOf[r.Field], r.Field)
	if _, known := f.values[name]; known && name != "" {
		f.wrong(name, upper(r.Error())+".")
		return
	}
	f.Wrong = upper(r.Error()) + "."
}

// orAgain shows a page again where its form has problems.
func (p *Pages) orAgain(err error, again func(status int) error) error {
	if errors.Is(err, errAgain) {
		return again(http.StatusUnprocessableEntity)
	}
	return err
}

// moved counts the unfinished steps whose planned start or finish is on another day.
func moved(was *board, is *office.Sheet) int {
	n := 0
	for k := range is.Plan.Steps {
		s := &is.Plan.Steps[k]
		old := was.steps[s.ID]
		if old == nil || s.State == scheduler.Complete {
			continue
		}
		if was.civil(old.Start) != was.civil(s.Start) || was.civilEnd(old.Finish) != was.civilEnd(s.Finish) {
			n++
		}
	}
	return n
}

// sayings is what a page says after a change.
var sayings = map[string]string{
	"release": "Released.", "refuse": "Recorded as refused.", "book": "Booked.", "expect": "The latest word is recorded.",
	"progress": "Progress recorded.", "undone": "The change was undone.",
	"taken-back": "The record was taken back.", "kept": "It is kept.", "out": "It was taken out.",
	"aside": "The alert was set aside.", "back": "The alert is in sight again.", "as-of": "The job is planned from another day now.",
	"moved": "The order is another now.", "renamed": "It has its new name, and all that speaks of it calls it so.",
	"layer": "The new order of layers is kept.", "issued": "The plan is issued.", "come": "Their word is recorded.", "cannot": "It is recorded that they cannot come; the plan keeps clear of these days.",
	"adopted": "The trial is adopted: its changes stand in the job.", "thrown": "The trial was thrown away. Nothing of it stays.",
}

// say tells on the page what was just changed and what became of the plan.
func (f *Frame) say(c echo.Context, b *board) {
	said := sayings[c.QueryParam("said")]
	if said == "" {
		return
	}
	f.Job.Said = said
	was, err := worktime.ParseDate(c.QueryParam("was"))
	n, errMoved := strconv.Atoi(c.QueryParam("moved"))
	if err != nil || errMoved != nil || n < 0 {
		return
	}
	is := b.civilEnd(b.Plan.Finish)
	steps := say(upper(number(n, "other step")) + " moved. ")
	switch {
	case was == is:
		f.Job.Moved = say(steps, "The finish stays on ", b.finish(), ".")
	default:
		f.Job.Moved = say(steps, "The finish moves from ", b.onDate(was).is(formerDay), " to ", b.finish(), ".")
	}
}
