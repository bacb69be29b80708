package web

import (
	"cmp"
	"errors"
	"html/template"
	"net/http"
	"strconv"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"gaugerod/api/people"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// peoplePage is who has which role on a job, and the private links of trades.
type peoplePage struct {
	Frame
	Owner, Site bool // what the reader may do
	Sitters     []sitterEntry
	Roles       []choice
	People      *choices
	Mails       bool
	Invite      form
	Base        string // of the addresses of forms

	Links  []linkEntry
	Trades []choice
	Make   form

	// What has just been made, and is shown only now.
	Handed *handed
	Fresh  *people.NewLink
	Code   template.HTML
	Sent   string // to whom a link is on its way
}

// handed is a one-time link to hand over.
type handed struct{ Name, Link string }

type sitterEntry struct {
	ID, Name, Email, Role, Acts string
	Form                        form
	Me                          bool
}

type linkEntry struct {
	ID, Trade, Label, By string
	Made, Until, Used    Part
	State                Line
	Open                 bool
}

func (peoplePage) name() string { return "people" }

func (p *Pages) whoIsWho(c echo.Context) error {
	return p.showPeople(c, http.StatusOK, func(*peoplePage) {})
}

// showPeople shows the page, with what has just happened on it.
func (p *Pages) showPeople(c echo.Context, status int, with func(*peoplePage)) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	v := signin.From(ctx)
	sitters, err := p.people.Sitters(ctx, v, b.Job.ID)
	if err != nil {
		return err
	}
	var links []db.TradeLink
	if v.Role == scheduler.Owner || v.Role == scheduler.SiteLead {
		if links, err = p.people.Links(ctx, b.Job.ID); err != nil {
			return err
		}
	}
	pg := newPeoplePage(b, v, sitters, links, p.now())
	pg.Mails = p.people.Mails()
	with(&pg)
	return p.render(c, status, pg)
}

func newPeoplePage(b *board, v signin.Visitor, sitters []db.Sitter, links []db.TradeLink, now time.Time) peoplePage {
	pg := peoplePage{
		Frame: b.frame("People", "/people"), Base: b.base, People: b.everybody(),
		Owner: v.Role == scheduler.Owner, Site: v.Role == scheduler.Owner || v.Role == scheduler.SiteLead,
	}
	for _, r := range db.SeatRoles {
		pg.Roles = append(pg.Roles, choice{string(r), string(r)})
	}
	for k := range b.Job.Trades {
		t := &b.Job.Trades[k]
		pg.Trades = append(pg.Trades, choice{string(t.ID), cmp.Or(t.Title, string(t.ID))})
	}
	for _, s := range sitters {
		e := sitterEntry{ID: s.ID.String(), Name: s.Name, Email: s.Email, Role: string(s.Role), Acts: b.who(s.Person), Me: s.ID == v.Account}
		if s.Email != "" && s.Claimed && !s.Proven {
			e.Email += ", by their own word"
		}
		e.Form.Name = "seat-" + e.ID
		e.Form.set("role", e.Role)
		e.Form.set("by", string(s.Person))
		pg.Sitters = append(pg.Sitters, e)
	}
	pg.Make.set("days", strconv.Itoa(people.UsualDays))
	for _, l := range links {
		pg.Links = append(pg.Links, newLinkEntry(b, l, now))
	}
	return pg
}

func newLinkEntry(b *board, l db.TradeLink, now time.Time) linkEntry {
	e := linkEntry{
		ID: l.ID.String(), Trade: b.tradeTitle(l.Trade), Label: l.Label, By: l.By,
		Made: b.at(l.Made).is(recordedDay), Until: b.at(l.Until).is(recordedDay), Used: Part{Text: "never"},
	}
	if l.Used != nil {
		e.Used = b.at(*l.Used).is(recordedDay)
	}
	switch {
	case l.Revoked != nil:
		e.State = say("taken back ", b.at(*l.Revoked).is(recordedDay))
	case !now.Before(l.Until):
		e.State = say("lapsed")
	default:
		e.State, e.Open = say("open"), true
	}
	return e
}

// tradeTitle is what a trade is called, its short name where the job has lost it.
func (b *board) tradeTitle(id scheduler.ID) string {
	for _, t := range b.Job.Trades {
		if t.ID == id {
			return cmp.Or(t.Title, string(id))
		}
	}
	return string(id)
}

func (p *Pages) invite(c echo.Context) error {
	ctx, job := c.Request().Context(), scheduler.ID(c.Param("job"))
	in := readForm(c, "name", "email", "role", "by")
	invited, err := p.people.Invite(ctx, signin.From(ctx), job, people.Invitation{
		Name: in.Value("name"), Email: in.Value("email"), Role: scheduler.Role(in.Value("role")), Person: scheduler.ID(in.Value("by")),
	})
	return p.toPeople(c, in.takePlain(err), func(pg *peoplePage) {
		switch {
		case err != nil:
			pg.Invite = in
		case invited.Mailed:
			pg.Sent = in.Value("email")
		case invited.Secret != "":
			pg.Handed = &handed{in.Value("name"), signin.Link(p.people.Base(), invited.Secret)}
		}
	}, true)
}

func (p *Pages) changeSeat(c echo.Context) error {
	account, err := uuid.Parse(c.Param("account"))
	if err != nil {
		return scheduler.ErrNotFound
	}
	ctx, job := c.Request().Context(), scheduler.ID(c.Param("job"))
	in := readForm(c, "role", "by", "do")
	v := signin.From(ctx)
	if in.Value("do") == "drop" {
		err = p.people.Drop(ctx, v, job, account)
	} else {
		err = p.people.Change(ctx, v, job, account, scheduler.Role(in.Value("role")), scheduler.ID(in.Value("by")))
	}
	return p.toPeople(c, in.takePlain(err), func(pg *peoplePage) {
		for k := range pg.Sitters {
			if pg.Sitters[k].ID == account.String() {
				in.Name = pg.Sitters[k].Form.Name
				pg.Sitters[k].Form = in
			}
		}
	}, false)
}

func (p *Pages) handOver(c echo.Context) error {
	account, err := uuid.Parse(c.Param("account"))
	if err != nil {
		return scheduler.ErrNotFound
	}
	ctx := c.Request().Context()
	secret, err := p.people.HandOver(ctx, signin.From(ctx), scheduler.ID(c.Param("job")), account)
	var in form
	return p.toPeople(c, in.takePlain(err), func(pg *peoplePage) {
		for k := range pg.Sitters {
			switch s := &pg.Sitters[k]; {
			case s.ID != account.String():
			case err != nil:
				s.Form.Wrong = in.Wrong
			default:
				pg.Handed = &handed{s.Name, signin.Link(p.people.Base(), secret)}
			}
		}
	}, true)
}

func (p *Pages) makeLink(c echo.Context) error {
	ctx := c.Request().Context()
	in := readForm(c, "trade", "label", "days")
	days, err := strconv.Atoi(cmp.Or(in.Value("days"), "0"))
	var made people.NewLink
	if err != nil {
		in.wrong("days", "Write a number of days.")
		err = errAgain
	} else {
		made, err = p.people.MakeLink(ctx, signin.From(ctx), scheduler.ID(c.Param("job")), scheduler.ID(in.Value("trade")), in.Value("label"), days, c.FormValue("once"))
		err = in.takePlain(err)
	}
	return p.toPeople(c, err, func(pg *peoplePage) {
		if err != nil {
			pg.Make = in
			return
		}
		pg.Fresh, pg.Code = &made, template.HTML(made.QR) //nolint:gosec // it is drawn by us, of rectangles
	}, true)
}

func (p *Pages) revokeLink(c echo.Context) error {
	link, err := uuid.Parse(c.Param("link"))
	if err != nil {
		return scheduler.ErrNotFound
	}
	return p.toPeople(c, p.people.RevokeLink(c.Request().Context(), scheduler.ID(c.Param("job")), link), nil, false)
}

// toPeople shows the page with a form's problems or, with shown, with what came of
// it and is shown only now; else it leads back to the page.
func (p *Pages) toPeople(c echo.Context, err error, with func(*peoplePage), shown bool) error {
	switch {
	case errors.Is(err, errAgain):
		return p.showPeople(c, http.StatusUnprocessableEntity, with)
	case err != nil:
		return err
	case shown:
		return p.showPeople(c, http.StatusOK, with)
	}
	return c.Redirect(http.StatusSeeOther, "/jobs/"+c.Param("job")+"/people")
}
