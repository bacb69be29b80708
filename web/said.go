package web

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// windowChoices are the windows of a trade to be spoken of, each with the days that it
// is told; none where the reader may not, or the page shows another day than the job's.
func (b *board) windowChoices(visits []scheduler.Window) *choices {
	if b.query != "" || !b.may("/trades/:trade/said") {
		return nil
	}
	var all []choice
	for _, v := range visits {
		from, until := v.Days()
		all = append(all, choice{v.ID + " " + from.String() + " " + until.String(), b.place(v.Place) + ", " + b.visitDays(v).Text()})
	}
	return newChoices(all)
}

// agreed is what is agreed about a window, empty: nothing.
func (b *board) agreed(v scheduler.Window) Line {
	for k := range b.Job.Promises {
		p := &b.Job.Promises[k]
		if !p.Of(&v) {
			continue
		}
		days := b.stretchOf(p.From, p.Until).is(promisedDay)
		is := scheduler.StandingOf(func(id scheduler.ID) *scheduler.PlannedStep { return b.steps[id] }, p.Trade, p.Place, p.Steps)
		line := say("Promised: ", days)
		if p.Letter != "" {
			line = say(line, ", issue "+p.Letter)
		}
		if p.Confirmed != nil {
			line = say(line, ", confirmed ", b.onDate(*p.Confirmed).is(promisedDay))
		} else {
			line = say(line, ", not confirmed")
		}
		if is.Moved(p.From, p.Until) {
			line = say(line, "; ", heavy("moved since"))
		}
		return say(line, ".")
	}
	return nil
}

// said takes what a trade said of one of its windows, and shows its page.
func (p *Pages) said(c echo.Context) error {
	b, t, err := p.boardAndTrade(c)
	if err != nil {
		return err
	}
	in := readForm(c, "window", "what", "by", "from", "to", "note")
	e := p.edit(c, &in)
	e.Seen = 0 // it counts whatever else has changed
	keep := in.word(c.Request().Context(), p.office, b.Job.ID, t.ID)
	if in.ok() {
		if err = keep(e); err == nil {
			return p.leadOn(c, b.Job.ID, b.base+"/trades/"+string(t.ID)+"?said="+in.Value("what"))
		}
		if again := in.take(b, err); !errors.Is(again, errAgain) {
			return again
		}
	}
	pg := newTradePage(b, t)
	pg.Form = in
	for _, field := range []string{"window", "what", "by", "from", "to", "note"} {
		pg.Form.Wrong = cmp.Or(pg.Form.Wrong, in.Problem(field))
	}
	return p.render(c, http.StatusUnprocessableEntity, pg)
}

// word is what keeps a trade's word, as the form has it.
func (in *form) word(ctx context.Context, o *office.Office, job, trade scheduler.ID) func(db.Edit) error {
	who := office.Word{Trade: trade, By: scheduler.ID(in.Value("by"))}
	window, days, _ := strings.Cut(in.Value("window"), " ")
	if window == "" {
		in.wrong("window", "Choose the window.")
	}
	switch in.Value("what") {
	case "come":
		var seen office.Days
		first, last, _ := strings.Cut(days, " ")
		if seen.From.UnmarshalText([]byte(first)) != nil || seen.Until.UnmarshalText([]byte(last)) != nil {
			in.wrong("window", "Choose the window.")
		}
		return func(e db.Edit) error {
			_, err := o.Confirm(ctx, job, who, window, &seen, e)
			return err
		}
	case "cannot":
		a := scheduler.Answer{From: in.day("from"), Note: in.Value("note")}
		a.To = a.From
		if in.Value("to") != "" {
			a.To = in.day("to")
		}
		return func(e db.Edit) error {
			_, err := o.CannotCome(ctx, job, who, window, a, e)
			return err
		}
	}
	in.wrong("what", "Say whether they come.")
	return nil
}
