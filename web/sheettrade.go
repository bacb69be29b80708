package web

import (
	"github.com/labstack/echo/v4"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/web/paper"
)

// tradeSheet is one trade's windows, without its link: everybody of the job may have it.
func (p *Pages) tradeSheet(c echo.Context) error {
	b, t, err := p.boardAndTrade(c)
	if err != nil {
		return err
	}
	return p.sheet(c, b, t.Title, string(t.ID), b.tradeBlocks(t, nil))
}

// tradeSheetDays is how long the link on a sheet of paper lasts.
const tradeSheetDays = 60

// tradeSheetWithLink makes a private link for the trade and prints it as a code to
// photograph. It is for who may make such links, and each is in the list of links, to be
// taken back.
func (p *Pages) tradeSheetWithLink(c echo.Context) error {
	b, t, err := p.boardAndTrade(c)
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	made, err := p.people.MakeLink(ctx, signin.From(ctx), b.Job.ID, t.ID, t.Title+", on paper "+b.today().String(), tradeSheetDays, c.FormValue("once"))
	if err != nil {
		return err
	}
	dark, err := signin.Code(made.Address)
	if err != nil {
		return err
	}
	code := paper.Code{Dark: dark, Says: runs(
		heavy("Photograph this for your own page: "), "the newest days, and your answers. It opens your part and nothing of other firms, until ", b.on(made.Until),
		". Whoever has this sheet can open it: do not leave it lying about.",
	)}
	return p.sheet(c, b, t.Title, string(t.ID), b.tradeBlocks(t, &code))
}

func (b *board) tradeBlocks(t *scheduler.Trade, code *paper.Code) []paper.Block {
	var l listing
	if code != nil {
		l = append(l, *code)
	}
	visits := b.visits(t.ID)
	if len(visits) == 0 {
		l.text(paper.None, "No visit lies ahead.")
	}
	for _, v := range visits {
		e := b.window(v)
		l.head(e.Place + ", " + e.Days.Text())
		if len(e.Agreed) > 0 {
			l.text(paper.None, e.Agreed)
		}
		for _, line := range e.Says {
			l.text(paper.None, line)
		}
		l.text(paper.None, heavy("The work"))
		for _, line := range e.Work {
			l.text(paper.Box, line)
		}
		l.text(paper.None, heavy("What must be ready"))
		for _, r := range e.Ready {
			if r.Met {
				l.text(paper.None, "There: ", r.Says)
			} else {
				l.text(paper.Gate, "Not yet: ", r.Says)
			}
		}
		if len(e.Ready) == 0 {
			l.text(paper.None, "Nothing but the trade itself.")
		}
		for k, line := range e.Drawings {
			if k == 0 {
				l.text(paper.None, heavy("Drawings it is built by"))
			}
			l.text(paper.None, line)
		}
		if len(e.Before) > 0 {
			l.text(paper.None, "Before it in this place: ", e.Before, ".")
		}
		if len(e.After) > 0 {
			l.text(paper.None, "After it: ", e.After, ".")
		}
		l.cautions(e.Cautions)
	}
	for k, w := range siteWords(&b.Job.Site) {
		if k == 0 {
			l.head("On the site")
		}
		l.text(paper.None, w.sentence())
	}
	return l
}
