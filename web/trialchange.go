package web

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// addToTrial puts a change into a trial.
func (p *Pages) addToTrial(c echo.Context) error {
	in := readForm(c, trialFields...)
	return p.changeTrial(c, &in, func(job scheduler.ID, number, _ int) error {
		op := in.op()
		if !in.ok() {
			return errAgain
		}
		_, err := p.office.AddToTrial(c.Request().Context(), job, number, 0, []trial.Op{op}, p.edit(c, &in))
		return err
	})
}

// takeOut takes one change out of a trial, as it was shown.
func (p *Pages) takeOut(c echo.Context) error {
	in := readForm(c, "number")
	return p.changeTrial(c, &in, func(job scheduler.ID, number, seen int) error {
		at, err := strconv.Atoi(in.Value("number"))
		if err != nil || at < 1 || seen == 0 {
			return echo.NewHTTPError(http.StatusBadRequest, "number names no change")
		}
		_, err = p.office.TakeOutOfTrial(c.Request().Context(), job, number, seen, at, p.edit(c, &in))
		return err
	})
}

// changeTrial does something to the trial in the address and shows it.
func (p *Pages) changeTrial(c echo.Context, in *form, do func(job scheduler.ID, number, seen int) error) error {
	t, err := p.trialOf(c)
	if err != nil {
		return err
	}
	seen, _ := strconv.Atoi(c.FormValue("version")) // 0: none was shown
	if err = do(scheduler.ID(c.Param("job")), t.Number, seen); err == nil {
		return c.Redirect(http.StatusSeeOther, "/jobs/"+c.Param("job")+trialPath(t.Number)+"?"+shownTime(c).Encode()+"#effect")
	}
	if !errors.Is(err, errAgain) {
		if err := in.trialRefused(err); err != nil {
			return err
		}
	}
	return p.showTrial(c, http.StatusUnprocessableEntity, *in)
}

// shownTime is the time that the picture shows, as its address asks for it. A form beside
// the picture, which has days of its own, carries it in a field.
func shownTime(c echo.Context) url.Values {
	from := c.QueryParams()
	if c.FormValue("what") != "" || c.Request().Method == http.MethodPost {
		from, _ = url.ParseQuery(c.FormValue("shown")) // what cannot be read asks for nothing
	}
	v := url.Values{}
	for _, name := range []string{"days", "weeks", "from", "strip"} {
		if text := from.Get(name); text != "" {
			v.Set(name, text)
		}
	}
	return v
}

// adopt makes the changes of a trial, as it was shown, in the job.
func (p *Pages) adopt(c echo.Context) error {
	in := readForm(c)
	t, err := p.trialOf(c)
	if err != nil {
		return err
	}
	seen, err := strconv.Atoi(c.FormValue("version"))
	if err != nil || seen < 1 {
		return echo.NewHTTPError(http.StatusBadRequest, "version names none")
	}
	if rights.Adopt(signin.From(c.Request().Context()), t.Ops) != nil { // of another version, the store refuses to adopt it
		return p.showTrial(c, http.StatusForbidden, in) // which says why
	}
	e := p.edit(c, &in)
	e.Seen = 0 // what no longer applies is refused change by change
	if _, err := p.office.AdoptTrial(c.Request().Context(), scheduler.ID(c.Param("job")), t.Number, seen, e); err != nil {
		if err := in.trialRefused(err); err != nil {
			return err
		}
		return p.showTrial(c, http.StatusUnprocessableEntity, in)
	}
	return p.leadOn(c, scheduler.ID(c.Param("job")), "/jobs/"+c.Param("job")+trialPath(t.Number)+"?said=adopted")
}

// throwAway ends a trial without anything coming of it.
func (p *Pages) throwAway(c echo.Context) error {
	in := readForm(c)
	t, err := p.trialOf(c)
	if err != nil {
		return err
	}
	if err := p.office.Trials().ThrowTrialAway(c.Request().Context(), scheduler.ID(c.Param("job")), t.Number, 0, p.edit(c, &in)); err != nil {
		if err := in.trialRefused(err); err != nil {
			return err
		}
		return p.showTrial(c, http.StatusUnprocessableEntity, in)
	}
	return c.Redirect(http.StatusSeeOther, "/jobs/"+c.Param("job")+"/trials?said=thrown")
}
