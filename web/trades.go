package web

import (
	"html/template"
	"net/http"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
)

// tradesPage lists the trades with their next visit.
type tradesPage struct {
	Frame
	Defs     template.HTML
	Trades   []tradeEntry
	OverTime string // where the same is drawn
}

type tradeEntry struct {
	Swatch template.HTML
	Trade  Part
	Next   Line
	Visits int
}

func (tradesPage) name() string { return "trades" }

func (p *Pages) trades(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	return p.render(c, http.StatusOK, newTradesPage(b))
}

func newTradesPage(b *board) tradesPage {
	pg := tradesPage{Frame: b.frame("Trades", "/trades"), Defs: b.defs(), OverTime: b.link("/trades-over-time")}
	for k := range b.Job.Trades {
		t := &b.Job.Trades[k]
		e := tradeEntry{Swatch: b.swatches()[t.ID], Trade: b.trade(t.ID)}
		visits := b.visits(t.ID)
		e.Visits = len(visits)
		e.Next = say("no visit ahead")
		if len(visits) > 0 {
			v := visits[0]
			e.Next = say(b.plannedFor(b.visitDays(v)), ", "+b.place(v.Place))
			if v.From.Before(b.begins) {
				_, last := b.firstAndLast(v.Steps)
				e.Next = say("there now until ", b.to(b.onEnd(v.Until), last, heldThere), ", "+b.place(v.Place))
			}
		}
		pg.Trades = append(pg.Trades, e)
	}
	return pg
}

// visits is a trade's windows that are not over, in the order of the plan's days.
func (b *board) visits(trade scheduler.ID) []scheduler.Window {
	var all []scheduler.Window
	for _, v := range b.Plan.Windows {
		if v.Trade == trade && !b.over(v) {
			all = append(all, v)
		}
	}
	sortVisits(all)
	return all
}

// over says whether every step of a visit is done.
func (b *board) over(v scheduler.Window) bool {
	for _, id := range v.Steps {
		if !b.done(id) {
			return false
		}
	}
	return true
}
