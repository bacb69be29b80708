package web

import (
	"errors"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// addToTrial puts a change into a trial.
func (p *Pages) addToTrial(c echo.Context) error {
	in := readForm(c, trialFields...)
	return p.changeTrial(c, &in, func(job scheduler.ID, number, _ int) error {
		op := in.op()
		if !in.ok() {
			return errAgain
		}
		_, err := p.office.AddToTrial(c.Request().Context(), job, number, 0, op)
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
		_, err = p.office.Trials().ChangeTrial(c.Request().Context(), job, number, seen, func(t *db.Trial) error {
			if at > len(t.Ops) {
				return db.ErrTrialChanged
			}
			t.Ops = append(t.Ops[:at-1:at-1], t.Ops[at:]...)
			return nil
		})
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
		return c.Redirect(http.StatusSeeOther, "/jobs/"+c.Param("job")+"/trials/"+strconv.Itoa(t.Number))
	}
	if !errors.Is(err, errAgain) {
		if err := in.trialRefused(err); err != nil {
			return err
		}
	}
	return p.showTrial(c, http.StatusUnprocessableEntity, *in)
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
	e := p.edit(c, &in)
	e.Seen = 0 // what no longer applies is refused change by change
	if _, err := p.office.AdoptTrial(c.Request().Context(), scheduler.ID(c.Param("job")), t.Number, seen, e); err != nil {
		if err := in.trialRefused(err); err != nil {
			return err
		}
		return p.showTrial(c, http.StatusUnprocessableEntity, in)
	}
	return c.Redirect(http.StatusSeeOther, "/jobs/"+c.Param("job")+"/trials/"+strconv.Itoa(t.Number)+"?said=adopted")
}

// throwAway ends a trial without anything coming of it.
func (p *Pages) throwAway(c echo.Context) error {
	in := readForm(c)
	t, err := p.trialOf(c)
	if err != nil {
		return err
	}
	if err := p.office.Trials().ThrowTrialAway(c.Request().Context(), scheduler.ID(c.Param("job")), t.Number); err != nil {
		if err := in.trialRefused(err); err != nil {
			return err
		}
		return p.showTrial(c, http.StatusUnprocessableEntity, in)
	}
	return c.Redirect(http.StatusSeeOther, "/jobs/"+c.Param("job")+"/trials?said=thrown")
}
