package web

import (
	"html/template"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// piecePage is a piece of a picture over time, for the script that places it: the staff of
// a column, a strip of rows over one, or the waits of a step.
type piecePage struct {
	Staff  template.HTML
	Strips []draw.Strip
	Waits  template.HTML
	Chosen *chosenStep
}

func (piecePage) name() string { return "piece" }

// pieces gives one piece. They fit together as long as the plan is the same, so whoever
// asks for one of another plan is told that there is none any more.
func (p *Pages) pieces(c echo.Context) error {
	path, typical, known := pictureOf(c.Param("picture"))
	if !known {
		return scheduler.ErrNotFound
	}
	b, t, err := p.overTime(c, path, usualZoom)
	if err != nil {
		return err
	}
	if at := c.QueryParam("at"); at != "" && at != b.standsAt() {
		return echo.NewHTTPError(http.StatusConflict, "the plan has changed: open the picture anew")
	}
	drawn, say, err := b.drawn(t, typical)
	if err != nil {
		return err
	}
	pg, err := b.piece(c, t, drawn, say)
	if err != nil {
		return err
	}
	c.Response().Header().Set("Cache-Control", "private, no-cache") // the reader may be somebody else by then
	return p.fill(c, http.StatusOK, pg.name(), &pg)
}

// pictureOf is the path of a picture and its typical: "places", "trades", "flow.opening".
func pictureOf(name string) (path, typical string, known bool) {
	name, typical, _ = strings.Cut(name, ".")
	path, known = map[string]string{"places": "/places", "trades": "/trades-over-time", "flow": "/flow"}[name]
	return path, typical, known
}

// drawn is a picture laid out, with what its blocks say.
func (b *board) drawn(t turning, typical string) (laidOut, draw.Say, error) {
	switch t.path {
	case "/places":
		return b.drawnPlaces(t), b.sayStep(t.zoom.labels()), nil
	case "/trades-over-time":
		return b.drawnVisits(t), nil, nil
	}
	for _, f := range b.flows() {
		if string(f.typical.ID) == typical {
			return b.drawnFlow(t, f), b.sayStep(false), nil
		}
	}
	return laidOut{}, nil, scheduler.ErrNotFound
}

func (b *board) piece(c echo.Context, t turning, drawn laidOut, say draw.Say) (pg piecePage, err error) {
	if t.step != "" {
		pg.Chosen = b.chosen(t.step)
		if !t.only {
			pg.Waits = drawn.Waits(b.waitsOf(t.step))
		}
		return pg, nil
	}
	col := t.window
	if text := c.QueryParam("until"); text != "" {
		if col.From, err = worktime.ParseDate(c.QueryParam("from")); err == nil {
			col.Until, err = worktime.ParseDate(text)
		}
		if err != nil || col.From < t.reach.From || col.Until > t.reach.Until || col.Until <= col.From || col.Until > col.From+mostColumn {
			return pg, echo.NewHTTPError(http.StatusBadRequest, "a piece goes from a day of the picture to a later one, about a year at most")
		}
	}
	look := b.lookOf(t, say)
	if !c.QueryParams().Has("strip") {
		pg.Staff = drawn.Staff(col, look)
		return pg, nil
	}
	if t.strip >= drawn.Strips() {
		return pg, scheduler.ErrNotFound
	}
	pg.Strips = []draw.Strip{drawn.Strip(t.strip, []draw.Column{col}, look)}
	return pg, nil
}
