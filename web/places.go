package web

import (
	"cmp"
	"html/template"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// placesPage is places over time.
type placesPage struct {
	Frame
	Defs           template.HTML
	Picture        draw.Drawing
	Earlier, Later string
	Zooms          []Tab
	Span           Line
	Trades         []tradeEntry
	Quiet          string // places in which nothing happens meanwhile
	Driving        []Line
	Promised       againstPromise
}

func (placesPage) name() string { return "places" }

// zooms are the lengths of time that can be looked at, in weeks; 0 is the whole
// job. A working day is as wide as the second figure says, in pixels.
var zooms = []struct {
	weeks int
	day   float64
	title string
}{{4, 52, "4 weeks"}, {8, 30, "8 weeks"}, {16, 17, "16 weeks"}, {0, 9, "the whole job"}}

func (p *Pages) placesOverTime(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	weeks := usualWeeks
	if text := c.QueryParam("weeks"); text != "" {
		if weeks, err = strconv.Atoi(text); err != nil || zoom(weeks) < 0 {
			return echo.NewHTTPError(http.StatusBadRequest, "the weeks to look at are 4, 8, 16 or 0 for all")
		}
	}
	from := b.usualFrom()
	if text := c.QueryParam("from"); text != "" {
		if from, err = worktime.ParseDate(text); err != nil {
			return echo.NewHTTPError(http.StatusBadRequest, err.Error())
		}
	}
	return p.render(c, http.StatusOK, newPlacesPage(b, from, weeks))
}

func zoom(weeks int) int {
	for k, z := range zooms {
		if z.weeks == weeks {
			return k
		}
	}
	return -1
}

func newPlacesPage(b *board, from worktime.Date, weeks int) placesPage {
	z := zooms[zoom(weeks)]
	days := weeks * 7
	if weeks == 0 {
		from = b.weekOf(earliestDay(b)).monday
		days = (int(b.civilEnd(b.Plan.Finish)-from)/7 + 1) * 7
	} else {
		from = b.weekOf(from).monday
	}
	pg := placesPage{Frame: b.frame("Places over time", "/places"), Defs: b.defs()}
	pg.Span = say(b.onDate(from), " to ", b.onDate(from+worktime.Date(days)-1))
	path := "/places"
	for _, other := range zooms {
		pg.Zooms = append(pg.Zooms, Tab{
			Title: other.title, Href: b.with(path, "weeks", strconv.Itoa(other.weeks)) + fromParam(from, other.weeks), Here: other.weeks == weeks,
		})
	}
	if weeks > 0 {
		step := worktime.Date(max(1, weeks/2) * 7)
		pg.Earlier = b.with(path, "weeks", strconv.Itoa(weeks)) + fromParam(from-step, weeks)
		pg.Later = b.with(path, "weeks", strconv.Itoa(weeks)) + fromParam(from+step, weeks)
	}
	pg.Promised = b.againstPromise()
	drawn := b.drawnPlaces(from, days, z.day)
	for _, id := range b.Plan.Driving {
		pg.Driving = append(pg.Driving, say(Part{Text: b.stepTitle(id), Href: b.near(id)}, ", ", b.days(b.steps[id])))
	}
	if b.today() != b.AsOf {
		now := b.now
		drawn.field.Today = &now
	}
	pg.Picture, pg.Quiet = drawn.field.OnDays(drawn.picture), drawn.quiet
	for k := range b.Job.Trades {
		t := &b.Job.Trades[k]
		pg.Trades = append(pg.Trades, tradeEntry{Swatch: b.swatches()[t.ID], Trade: b.trade(t.ID)})
	}
	return pg
}

// drawnPlaces is the places over some days, drawn but for today, and those in which
// nothing happens meanwhile.
type drawnPlaces struct {
	field   draw.Field
	picture draw.Drawing
	quiet   string
}

// drawnKey is under what the usual days are kept beside a sheet, drawn.
type drawnKey struct{ query string }

func (b *board) drawnPlaces(from worktime.Date, days int, width float64) drawnPlaces {
	if from != b.usualFrom() || days != 7*usualWeeks {
		return b.drawPlaces(from, days, width)
	}
	return b.Beside.Once(drawnKey{b.query}, func() any { return b.drawPlaces(from, days, width) }).(drawnPlaces)
}

func (b *board) drawPlaces(from worktime.Date, days int, width float64) drawnPlaces {
	field := draw.Field{Scale: draw.NewScale(from, days, width, b.hours), AsOf: b.begins, Labels: width >= 17}
	for _, id := range b.Plan.Driving {
		field.Chain = append(field.Chain, string(id))
	}
	var quiet string
	field.Courses, quiet = b.courses(field.Scale, !field.Labels)
	picture := field.Draw()
	field.Courses, field.Chain = nil, nil // they are drawn
	return drawnPlaces{field, picture, quiet}
}

// usualWeeks are looked at where nobody asks for others.
const usualWeeks = 8

// usualFrom is the day from which they are: the Monday a week before that of as of.
func (b *board) usualFrom() worktime.Date { return b.weekOf(b.AsOf).monday - 7 }

func fromParam(from worktime.Date, weeks int) string {
	if weeks == 0 {
		return ""
	}
	return "&from=" + from.String()
}

// earliestDay is the first day on which anything starts.
func earliestDay(b *board) worktime.Date {
	first := b.AsOf
	for k := range b.Plan.Steps {
		first = min(first, b.civil(b.Plan.Steps[k].Start))
	}
	return first
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
