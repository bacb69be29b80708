package web

import (
	"html/template"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/odds"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// oddsPage says how likely the days of the plan are.
type oddsPage struct {
	Frame
	WhyNot  string // why the plan was not tried; empty: it was
	Model   string // where the best and the worst are written down
	Opening []Line
	Picture template.HTML
	Dues    []Line
	Sways   []Line
	Visits  []Line
}

func (oddsPage) name() string { return "odds" }

func (p *Pages) odds(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	pg := oddsPage{Frame: b.frame("How likely", "/odds"), Model: b.link("/edit/tasks")}
	o, err := b.Odds()
	switch {
	case err == nil:
		pg.fill(b, o)
	default:
		if pg.WhyNot = office.NoOdds(err); pg.WhyNot == "" {
			return err
		}
	}
	return p.render(c, http.StatusOK, pg)
}

// fill says what the tries of the plan were like.
func (pg *oddsPage) fill(b *board, o *odds.Odds) {
	if o.Unsure == 0 {
		pg.WhyNot = "Nobody has written down how well or how badly any work could go, so there is nothing to try: each day is as sure as its plan."
		return
	}
	half, nine := o.FinishBy(0.5), o.FinishBy(0.9)
	pg.Opening = []Line{
		say("All work is done by ", say(b.onEnd(half).is(likelyDay)).strong(), " as likely as not, and in nine of ten tries by ", say(b.onEnd(nine).is(likelyDay)).strong(), "."),
		say("The planned ", b.finish(), " was kept in "+ofTries(o.Done(b.Plan.Finish), o.Tries)+"."),
	}
	pg.Picture = b.tally(o)
	for _, d := range o.Dues {
		pg.Dues = append(pg.Dues, say(heavy(d.Title), ", by ", b.onEnd(d.By).is(dueDay), ": kept in "+ofTries(d.Kept, o.Tries)+"; planned for ", b.endOf(b.steps[d.Step]), "."))
	}
	for _, w := range o.Sways {
		pg.Sways = append(pg.Sways, say(b.stepAt(w.Step), ": "+strconv.Itoa(int(w.Share*100+0.5))+" % of the coming and going of the finish; it "+b.spreadOf(w.Step)+"."))
	}
	pg.Visits = b.likelyVisits(o)
}

// ofTries is a number of tries in words that mean the same to everybody.
func ofTries(n, all int) string {
	switch n {
	case 0:
		return "none of " + strconv.Itoa(all) + " tries"
	case all:
		return "all " + strconv.Itoa(all) + " tries"
	}
	return strconv.Itoa(n) + " of " + strconv.Itoa(all) + " tries"
}

// spreadOf is how long a step takes, at best and at worst.
func (b *board) spreadOf(id scheduler.ID) string {
	k, ok := b.Network.Find(id)
	if !ok {
		return ""
	}
	s := &b.Network.Steps[k]
	says := "usually takes " + s.Takes.String()
	if !s.Spread.Best.Zero() {
		says += ", at best " + s.Spread.Best.String()
	}
	if !s.Spread.Worst.Zero() {
		says += ", at worst " + s.Spread.Worst.String()
	}
	return says
}

// mostLikelyVisits is how many coming visits are told.
const mostLikelyVisits = 12

// likelyVisits is the next visit of each trade, when it begins as likely as not and in nine
// of ten tries.
func (b *board) likelyVisits(o *odds.Odds) []Line {
	var next []scheduler.Window
	for k := range b.Job.Trades {
		for _, v := range b.visits(b.Job.Trades[k].ID) {
			if !v.From.Before(b.begins) && len(v.Steps) > 0 && o.Starts[v.Steps[0]] != (odds.Start{}) {
				next = append(next, v)
				break
			}
		}
	}
	sortVisits(next)
	var lines []Line
	for _, v := range next[:min(len(next), mostLikelyVisits)] {
		s := o.Starts[v.Steps[0]]
		planned, half, nine := b.civil(v.From), b.civil(latest(s.Half, v.From)), b.civil(latest(s.Nine, v.From))
		l := say(b.trade(v.Trade), ", "+b.place(v.Place)+": planned from ", b.to(b.on(v.From), v.Steps[0], heldThere))
		switch {
		case nine == planned:
			l = say(l, ", kept in nine of ten tries or more.")
		case half == planned:
			l = say(l, ", kept as likely as not; in nine of ten by ", b.onDate(nine).is(likelyDay), ".")
		default:
			l = say(l, "; as likely as not by ", b.onDate(half).is(likelyDay), ", in nine of ten by ", b.onDate(nine).is(likelyDay), ".")
		}
		lines = append(lines, l)
	}
	return lines
}

// tally is how the tries ended, drawn: from the first of a hundred to the last.
func (b *board) tally(o *odds.Odds) template.HTML {
	part := func(share float64) worktime.Date { return b.civilEnd(o.FinishBy(share)) }
	from, to := min(part(0.01), b.civilEnd(b.Plan.Finish))-2, part(0.99)+3
	t := draw.Tally{Scale: b.scale(from, to, 320, 40), Planned: b.Plan.Finish, Half: o.FinishBy(0.5), Nine: o.FinishBy(0.9)}
	t.Ends = make([]int, t.Scale.Days())
	for _, end := range o.Finish {
		if k := int(b.civilEnd(end) - from); k >= 0 && k < len(t.Ends) {
			t.Ends[k]++
		}
	}
	return t.Draw("How many of the tries end on each day")
}
