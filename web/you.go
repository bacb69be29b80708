package web

import (
	"errors"
	"net/http"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// youPage is one's own account: name, address, password, devices.
type youPage struct {
	Frame
	Steward  bool
	Describe form
	Password form
	Has      bool // a password
	Least    int
	Sessions []sessionEntry
	Others   bool   // there are other sessions than this
	Link     string // for one more device, shown only now
}

type sessionEntry struct {
	ID, Device         string
	Since, Seen, Until Part
	This               bool
}

func (youPage) name() string { return "you" }

func (p *Pages) you(c echo.Context) error { return p.showYou(c, http.StatusOK, func(*youPage) {}) }

// showYou shows the page, with what has just happened on it.
func (p *Pages) showYou(c echo.Context, status int, with func(*youPage)) error {
	ctx := c.Request().Context()
	v := signin.From(ctx)
	account, _, err := p.people.You(ctx, v)
	if err != nil {
		return err
	}
	sessions, err := p.people.Sessions(ctx, v)
	if err != nil {
		return err
	}
	pg := newYouPage(account, sessions, v.Session, p.now().Location())
	with(&pg)
	return p.render(c, status, pg)
}

func newYouPage(a db.Account, sessions []db.Session, this uuid.UUID, zone *time.Location) youPage {
	pg := youPage{Frame: Frame{Title: "You"}, Steward: a.Steward, Has: a.HasPassword, Least: signin.LeastPassword, Others: len(sessions) > 1}
	pg.Describe.set("name", a.Name)
	pg.Describe.set("email", a.Email)
	for _, s := range sessions {
		pg.Sessions = append(pg.Sessions, sessionEntry{
			ID: s.ID.String(), Device: s.Device, This: s.ID == this,
			Since: onDay(s.Made, zone), Seen: onDay(s.Seen, zone), Until: onDay(s.Until, zone),
		})
	}
	return pg
}

func onDay(t time.Time, zone *time.Location) Part {
	local := t.In(zone)
	return Part{Text: local.Format("Mon 2 Jan 2006, 15:04"), Day: local.Format(time.DateOnly), Given: recordedDay}
}

func (p *Pages) describeYou(c echo.Context) error {
	in := readForm(c, "name", "email")
	err := in.takePlain(p.people.Describe(c.Request().Context(), signin.From(c.Request().Context()), in.Value("name"), in.Value("email")))
	return p.toYou(c, err, func(pg *youPage) { pg.Describe = in })
}

func (p *Pages) setPassword(c echo.Context) error {
	in := form{values: map[string]string{"was": "", "password": ""}} // what was typed is not sent back
	was, is := c.FormValue("was"), c.FormValue("password")
	err := p.people.SetPassword(c.Request().Context(), signin.From(c.Request().Context()), was, is)
	switch {
	case errors.Is(err, signin.ErrWrong):
		in.wrong("was", "That is not the password so far.")
		err = errAgain
	case errors.Is(err, signin.ErrBusy):
		in.Wrong = "Too many passwords are being looked at just now. Try again in a moment."
		err = errAgain
	default:
		err = in.takePlain(err)
	}
	return p.toYou(c, err, func(pg *youPage) { pg.Password = in })
}

func (p *Pages) endSession(c echo.Context) error {
	ctx := c.Request().Context()
	v := signin.From(ctx)
	if c.FormValue("session") == "others" {
		return p.toYou(c, p.people.EndOthers(ctx, v), nil)
	}
	id, err := uuid.Parse(c.FormValue("session"))
	if err != nil {
		return scheduler.ErrNotFound
	}
	return p.toYou(c, p.people.EndSession(ctx, v, id), nil)
}

func (p *Pages) newDevice(c echo.Context) error {
	secret, err := p.people.Device(c.Request().Context(), signin.From(c.Request().Context()))
	if err != nil {
		return err
	}
	return p.showYou(c, http.StatusOK, func(pg *youPage) { pg.Link = signin.Link(p.people.Base(), secret) })
}

// toYou leads back to the page, or shows it with a form's problems.
func (p *Pages) toYou(c echo.Context, err error, again func(*youPage)) error {
	switch {
	case errors.Is(err, errAgain):
		return p.showYou(c, http.StatusUnprocessableEntity, again)
	case err != nil:
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/you")
}

// takePlain is take, of a form that is about no thing of a job.
func (f *form) takePlain(err error) error {
	if refusal, ok := errors.AsType[*scheduler.Refusal](err); ok {
		f.refused(refusal)
		return errAgain
	}
	return err
}
