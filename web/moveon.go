package web

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// moveOnForm sets the day from which the job is planned.
type moveOnForm struct {
	Action, Day, Problem string // without Action the reader may not send it
	Fixed                bool   // the job names the day; otherwise it is each day's today
}

func (b *board) moveOnForm() moveOnForm {
	f := moveOnForm{Day: b.AsOf.String(), Fixed: b.Job.AsOf != nil}
	if b.may("/as-of") {
		f.Action = b.base + "/as-of"
	}
	return f
}

func (p *Pages) moveOn(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	in := readForm(c, "day")
	in.About = string(b.Job.ID)
	var day *worktime.Date
	if c.FormValue("today") == "" {
		w := in.mustWhen("")
		day = &w.Day
	}
	err = p.apply(c, b, &in, func(j *scheduler.Job) error { return j.SetAsOf(day) }, "", "as-of")
	return p.orAgain(err, func(int) error {
		pg := newWeekPage(b, b.weekOf(b.AsOf))
		pg.MoveOn.Day, pg.MoveOn.Problem = in.Value("day"), in.Problem("day")+in.Wrong
		return p.render(c, http.StatusUnprocessableEntity, pg)
	})
}
