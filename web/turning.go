package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// zoomed is a length of time that can be looked at.
type zoomed struct {
	param string // how it is asked for
	days  int    // 0: the whole job
	wide  float64
	title string
}

// zooms are all of them. A working day is as wide as the figure says, in pixels, in the
// whole job at most.
var zooms = []zoomed{
	{"days=1", 1, 720, "a day"},
	{"weeks=1", 7, 150, "a week"},
	{"weeks=4", 28, 52, "4 weeks"},
	{"weeks=8", 56, 30, "8 weeks"},
	{"weeks=16", 112, 17, "16 weeks"},
	{"weeks=0", 0, 9, "the whole job"},
}

// labels says whether there is room for words beside what is drawn.
func (z zoomed) labels() bool { return z.wide >= 17 }

// What is looked at where nobody asks for anything else.
const (
	usualZoom = "weeks=8"
	flowZoom  = "weeks=16"
	usualDays = 56
)

// turning is the time that a picture shows, with the ways to other times and to the
// other pictures over time.
type turning struct {
	Pictures       []Tab
	Earlier, Later string
	Zooms          []Tab
	Rows           []Tab // all rows, or only those on which something happens
	Above, Below   string
	Span           Line

	path   string
	zoom   zoomed
	window draw.Column  // the days that are shown
	reach  draw.Column  // the days that there are
	only   bool         // only rows on which something happens in the window
	strip  int          // the first one that is shown
	step   scheduler.ID // whose waits are drawn, empty: nobody's
}

// pictures over time, by their paths.
var pictures = []struct{ path, title string }{{"/places", "places"}, {"/trades-over-time", "trades"}, {"/flow", "flow"}}

// asked is what an address asks for of a picture of the days of reach, the usual where it
// asks for nothing.
func (b *board) asked(q url.Values, path, usual string, reach draw.Column) (turning, error) {
	t := turning{path: path, reach: reach, only: q.Has("only"), step: scheduler.ID(q.Get("step"))}
	bad := func(words string) (turning, error) {
		return turning{}, echo.NewHTTPError(http.StatusBadRequest, words)
	}
	ask := usual
	switch days, weeks := q.Get("days"), q.Get("weeks"); {
	case days != "":
		ask = "days=" + days
	case weeks != "":
		ask = "weeks=" + weeks
	}
	k := slices.IndexFunc(zooms, func(z zoomed) bool { return z.param == ask })
	if k < 0 {
		return bad("what can be looked at is 1 day, or 1, 4, 8 or 16 weeks, or 0 weeks for all")
	}
	t.zoom = zooms[k]
	from := b.usualFrom()
	if t.zoom.days > 0 && t.zoom.days <= 7 {
		from = b.AsOf
	}
	if t.step != "" {
		s := b.steps[t.step]
		if s == nil {
			return turning{}, scheduler.ErrNotFound
		}
		from = b.civil(s.Start)
	}
	var err error
	if text := q.Get("from"); text != "" {
		if from, err = worktime.ParseDate(text); err != nil {
			return bad(err.Error())
		}
	}
	if text := q.Get("strip"); text != "" {
		if t.strip, err = strconv.Atoi(text); err != nil || t.strip < 0 {
			return bad("the strip to begin with is a number")
		}
	}
	return b.turnTo(t, from), nil
}

// turnTo has a turning show the window in which a day lies.
func (b *board) turnTo(t turning, from worktime.Date) turning {
	t.window = b.windowFrom(t, from)
	t.Span = b.span(t.window.From, t.window.Until-1)
	for _, z := range zooms {
		to := t
		to.zoom = z
		at := t.window.From
		if z.days == 1 && b.AsOf > at && b.AsOf < t.window.Until {
			at = b.AsOf
		}
		t.Zooms = append(t.Zooms, Tab{Title: z.title, Href: b.addressOf(to, at), Here: z == t.zoom})
	}
	for _, p := range pictures {
		to := t
		to.path = p.path
		t.Pictures = append(t.Pictures, Tab{Title: p.title, Href: b.addressOf(to, t.window.From), Here: p.path == t.path})
	}
	if t.path != "/flow" {
		for _, only := range []bool{false, true} {
			to := t
			to.only = only
			t.Rows = append(t.Rows, Tab{Title: map[bool]string{false: "all", true: "those with work in this time"}[only], Href: b.addressOf(to, t.window.From), Here: t.only == only})
		}
	}
	step := worktime.Date(max(1, t.zoom.days/2))
	if t.window.From > t.reach.From {
		t.Earlier = b.addressOf(t, max(t.reach.From, t.window.From-step))
	}
	if t.window.Until < t.reach.Until {
		t.Later = b.addressOf(t, t.window.From+step)
	}
	return t
}

// windowFrom is the window of a zoom in which a day lies, within the days there are.
func (b *board) windowFrom(t turning, from worktime.Date) draw.Column {
	if t.zoom.days == 0 {
		return t.reach
	}
	if t.zoom.days >= 7 {
		from = b.weekOf(from).monday
	}
	last := t.reach.Until - worktime.Date(min(7, t.zoom.days))
	from = min(max(from, t.reach.From), last)
	return draw.Column{From: from, Until: min(from+worktime.Date(t.zoom.days), t.reach.Until)}
}

// addressOf is where the window of a turning from a day is.
func (b *board) addressOf(t turning, from worktime.Date) string {
	address := t.zoom.param
	if t.zoom.days > 0 {
		address += "&from=" + from.String()
	}
	if t.only {
		address += "&only=1"
	}
	return b.asking(t.path, address)
}

// asking is a path of this job with more to ask.
func (b *board) asking(path, ask string) string {
	mark := "?"
	if b.query != "" {
		mark = "&"
	}
	return b.link(path) + mark + ask
}

// mostColumn is the most days of a piece of a picture.
const mostColumn = 53 * 7

// columns is the days of the picture cut into columns, of which one begins with the window.
func (t turning) columns() []draw.Column {
	wide := worktime.Date(cmp.Or(min(t.zoom.days, mostColumn), mostColumn))
	first := t.window.From
	for first > t.reach.From {
		first -= wide
	}
	var all []draw.Column
	for from := first; from < t.reach.Until; from += wide {
		all = append(all, draw.Column{From: max(from, t.reach.From), Until: min(from+wide, t.reach.Until)})
	}
	return all
}

// usualFrom is the day from which the usual time is: the Monday a week before that of as of.
func (b *board) usualFrom() worktime.Date { return b.weekOf(b.AsOf).monday - 7 }

// reachKey is under what the days of the pictures are kept beside a sheet.
type reachKey struct{}

// reach is the days over which pictures go: whole weeks, from the first on which anything
// starts or was promised to the last, and at least those that are usually looked at.
func (b *board) reach() draw.Column {
	return b.Beside.Once(reachKey{}, func() any {
		from, until := b.usualFrom(), max(b.usualFrom()+usualDays, b.civilEnd(b.Plan.Finish)+1)
		for k := range b.Plan.Steps {
			from = min(from, b.civil(b.Plan.Steps[k].Start))
		}
		for k := range b.Job.Promises {
			from, until = min(from, b.Job.Promises[k].From), max(until, b.Job.Promises[k].Until+1)
		}
		return draw.Column{From: b.weekOf(from).monday, Until: b.weekOf(until + 6).monday}
	}).(draw.Column)
}
