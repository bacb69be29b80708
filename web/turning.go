package web

import (
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// zooms are the lengths of time that can be looked at, in weeks; 0 is the whole
// job. A working day is as wide as the second figure says, in pixels.
var zooms = []struct {
	weeks int
	day   float64
	title string
}{{1, 150, "a week"}, {4, 52, "4 weeks"}, {8, 30, "8 weeks"}, {16, 17, "16 weeks"}, {0, 9, "the whole job"}}

// turning is the time that a picture shows, with the ways to other times and to the
// other pictures over time.
type turning struct {
	Pictures       []Tab
	Earlier, Later string
	Zooms          []Tab
	Span           Line

	from  worktime.Date
	days  int
	width float64 // of a working day
}

// pictures over time, by their paths.
var pictures = []struct{ path, title string }{{"/places", "places"}, {"/trades-over-time", "trades"}, {"/flow", "flow"}}

// askedTime is the weeks and the first day that a request for a picture asks for, the
// usual ones where it asks for none.
func (b *board) askedTime(c echo.Context, usual int) (weeks int, from worktime.Date, err error) {
	weeks, from = usual, b.usualFrom()
	if text := c.QueryParam("weeks"); text != "" {
		if weeks, err = strconv.Atoi(text); err != nil || zoom(weeks) < 0 {
			return 0, 0, echo.NewHTTPError(http.StatusBadRequest, "the weeks to look at are 1, 4, 8, 16 or 0 for all")
		}
		if weeks == 1 {
			from = b.AsOf
		}
	}
	if text := c.QueryParam("from"); text != "" {
		if from, err = worktime.ParseDate(text); err != nil {
			return 0, 0, echo.NewHTTPError(http.StatusBadRequest, err.Error())
		}
	}
	return weeks, from, nil
}

func zoom(weeks int) int {
	for k, z := range zooms {
		if z.weeks == weeks {
			return k
		}
	}
	return -1
}

// turn is the picture of a path over so many weeks from the one in which a day lies.
func (b *board) turn(path string, from worktime.Date, weeks int) turning {
	t := turning{width: zooms[zoom(weeks)].day, days: weeks * 7}
	if weeks == 0 {
		t.from = b.weekOf(earliestDay(b)).monday
		t.days = (int(b.civilEnd(b.Plan.Finish)-t.from)/7 + 1) * 7
	} else {
		t.from = b.weekOf(from).monday
	}
	t.Span = b.span(t.from, t.from+worktime.Date(t.days)-1)
	at := func(path string, from worktime.Date, weeks int) string {
		return b.with(path, "weeks", strconv.Itoa(weeks)) + fromParam(from, weeks)
	}
	for _, z := range zooms {
		t.Zooms = append(t.Zooms, Tab{Title: z.title, Href: at(path, t.from, z.weeks), Here: z.weeks == weeks})
	}
	for _, p := range pictures {
		t.Pictures = append(t.Pictures, Tab{Title: p.title, Href: at(p.path, t.from, weeks), Here: p.path == path})
	}
	if weeks > 0 {
		step := worktime.Date(max(1, weeks/2) * 7)
		t.Earlier, t.Later = at(path, t.from-step, weeks), at(path, t.from+step, weeks)
	}
	return t
}

// scale lays the days of the picture out.
func (t turning) scale(b *board) *draw.Scale { return draw.NewScale(t.from, t.days, t.width, b.hours) }

// labels says whether there is room for words beside what is drawn.
func (t turning) labels() bool { return t.width >= 17 }

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

// pictured is a picture over time in its box, with words for who cannot see it.
type pictured struct {
	Label string
	draw.Drawing
}

// withToday is today as it is drawn apart from the as-of day, nil where they are one.
func (b *board) withToday(f draw.Field) draw.Field {
	if b.today() != b.AsOf {
		now := b.now
		f.Today = &now
	}
	return f
}
