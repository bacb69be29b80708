package web

import (
	"cmp"
	"html/template"
	"net/http"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// placesPage is places over time.
type placesPage struct {
	Frame
	Turn     turning
	Defs     template.HTML
	Picture  pictured
	Trades   []tradeEntry
	Quiet    string // places in which nothing happens meanwhile
	Driving  []Line
	Promised againstPromise
	Chosen   *chosenStep // whose waits are drawn, nil: nobody's
}

func (placesPage) name() string { return "places" }

func (p *Pages) placesOverTime(c echo.Context) error {
	b, t, err := p.overTime(c, "/places", usualZoom)
	if err != nil {
		return err
	}
	return p.render(c, http.StatusOK, newPlacesPage(b, t))
}

func newPlacesPage(b *board, t turning) placesPage {
	b.nearby = true
	pg := placesPage{Frame: b.frame("Places over time", "/places"), Turn: t, Defs: b.defs()}
	pg.Scripts = []string{"field.js"}
	for _, id := range b.Plan.Driving[:min(mostChained, len(b.Plan.Driving))] {
		pg.Driving = append(pg.Driving, say(Part{Text: b.stepTitle(id), Href: b.near(id)}, ", ", b.daysOf(b.steps[id])))
	}
	if more := len(b.Plan.Driving) - len(pg.Driving); more > 0 {
		pg.Driving = append(pg.Driving, say("and "+number(more, "step")+" more"))
	}
	pg.Promised = b.againstPromise()
	drawn := b.drawnPlaces(t)
	pg.Picture, pg.Quiet = b.pictured(t, "Places over time", drawn.Picture, b.sayStep(t.zoom.labels()), "places"), drawn.quiet
	for k := range b.Job.Trades {
		t := &b.Job.Trades[k]
		pg.Trades = append(pg.Trades, tradeEntry{Swatch: b.swatches()[t.ID], Trade: b.trade(t.ID)})
	}
	if t.step != "" {
		pg.Chosen = b.chosen(t.step)
	}
	return pg
}

// mostChained is how many steps of the driving chain are listed under the picture.
const mostChained = 80

// drawnPlaces is the places over time, laid out.
func (b *board) drawnPlaces(t turning) laidOut {
	return b.once(t, "", func() laidOut {
		field := draw.Field{Scale: b.scaleOf(t), AsOf: b.begins, Labels: t.zoom.labels()}
		for _, id := range b.Plan.Driving {
			field.Chain = append(field.Chain, string(id))
		}
		var quiet string
		field.Courses, quiet = b.courses(field.Scale, !field.Labels)
		return laidOut{field.LayOut(), quiet}
	})
}

func progressOf(s *scheduler.PlannedStep) draw.Progress {
	switch {
	case s.State == scheduler.Complete:
		return draw.Done
	case s.State == scheduler.Underway:
		return draw.Underway
	case s.State == scheduler.Ready:
		return draw.Ready
	default:
		return draw.Waits
	}
}

// gate is the shape in which a hold point stands.
func (b *board) gate(id scheduler.ID) draw.Gate {
	s, h, f := b.steps[id], b.holds[id], b.facts[id]
	delivery := s != nil && s.Order != ""
	switch {
	case s != nil && s.State == scheduler.Complete && delivery:
		return draw.CrateIn
	case s != nil && s.State == scheduler.Complete:
		return draw.Open
	case s != nil && s.State == scheduler.Refused:
		return draw.Barred
	case delivery:
		return draw.CrateDue
	case h != nil && h.Booked != nil, f != nil && f.Expected != nil:
		return draw.Expected
	default:
		return draw.Shut
	}
}

// tip is what a block or gate says when it is pointed at or read aloud. It is kept
// short: a drawing has hundreds.
func (b *board) tip(s *scheduler.PlannedStep) string {
	title := cmp.Or(s.Title, string(s.ID)) + ". "
	if h := b.holds[s.ID]; h != nil {
		return title + upper(b.holdStatus(h).Text()) + "."
	}
	return title + upper(stateWord(s)) + ", " + b.days(s) + "."
}

// days is the days of a step without more words: "Thu 21 May to Fri 22 May".
func (b *board) days(s *scheduler.PlannedStep) string {
	days := b.onEnd(s.Finish).Text
	if from := b.on(s.Start).Text; from != days {
		days = from + " to " + days
	}
	return days
}
