package web

import (
	"fmt"
	"html/template"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/web/draw"
)

// pictured is a picture over time in its box, with words for who cannot see it: as much of
// it as goes with the page, and where the rest is.
type pictured struct {
	Label  string
	Staff  []template.HTML // by column
	Strips []draw.Strip
	Above  string // where the rows over the first one are shown, empty: there are none
	Below  string

	// For the script that brings the rest: where pieces are, empty: there is no more; the
	// days at which columns begin and how far to the right, how far down strips begin, and
	// which of both is the first on the page.
	Pieces        string
	Columns, Tops string
	Column, Strip int
	First         string // how far to the right a screen begins that shows no more than what is left of it
}

// mostDrawn is how much of a picture goes with a page, in bytes. The rest is shown by links
// and, with script, on scrolling.
const mostDrawn = 62_000

// wholeWidth is how wide the whole job is drawn, in pixels: what a desk has room for.
const wholeWidth = 1180

// overTime is the sheet and the time that a request for a picture over time is about.
func (p *Pages) overTime(c echo.Context, path, usual string) (*board, turning, error) {
	b, err := p.board(c)
	if err != nil {
		return nil, turning{}, err
	}
	if err := p.readIssued(c, b); err != nil {
		return nil, turning{}, err
	}
	t, err := b.asked(c.QueryParams(), path, usual, b.reach())
	return b, t, err
}

// scaleOf is how the days of a turning are laid out: all there are, so that a picture can be
// scrolled through, or where only some rows are shown those of the window.
func (b *board) scaleOf(t turning) *draw.Scale {
	days := t.reach
	if t.only {
		days = t.window
	}
	if t.zoom.days == 0 {
		return b.scale(days.From, days.Until-1, wholeWidth, t.zoom.wide)
	}
	return draw.NewScale(days.From, int(days.Until-days.From), t.zoom.wide, b.hours)
}

// laidOut is a picture and the rows that were left out of it, because nothing happens on
// them.
type laidOut struct {
	*draw.Picture
	quiet string
}

// pictureKey is under what a picture is kept beside a sheet.
type pictureKey struct{ path, query, zoom, typical string }

// once keeps a whole picture beside the sheet. One of a window is made each time: there
// are too many windows.
func (b *board) once(t turning, typical string, lay func() laidOut) laidOut {
	if t.only {
		return lay()
	}
	return b.Beside.Once(pictureKey{t.path, b.query, t.zoom.param, typical}, func() any { return lay() }).(laidOut)
}

// pictured draws as much of a picture as goes with the page. pieces is where more is.
func (b *board) pictured(t turning, label string, p *draw.Picture, say draw.Say, pieces string) pictured {
	look, columns := b.lookOf(t, say), []draw.Column{t.window}
	pg := pictured{Label: label}
	if !t.only {
		all := t.columns()
		pg.Pieces = b.asking("/pieces/"+pieces, t.zoom.param+"&at="+b.standsAt()+"&day="+b.today().String())
		pg.Columns, pg.Tops = columnsOf(p, all), strings.Trim(fmt.Sprint(p.Tops()), "[]")
		columns = nil
		for k, c := range all {
			if c.From == t.window.From {
				pg.Column = k
			}
			if c.From >= t.window.From && c.Until <= t.window.Until {
				columns = append(columns, c)
			}
		}
	}
	for _, c := range columns {
		pg.Staff = append(pg.Staff, p.Staff(c, look))
	}
	first := min(t.strip, max(0, p.Strips()-1))
	if t.strip == 0 && t.step != "" {
		first, _ = p.StripOf(string(t.step))
	}
	last := first
	for weight := len(pg.Columns) + len(pg.Tops); last < p.Strips(); last++ {
		s := p.Strip(last, columns, look)
		weight += s.Weight()
		if last > first && weight > mostDrawn && t.path != "" { // without a path it has no rest
			break
		}
		pg.Strips = append(pg.Strips, s)
	}
	pg.Strip = first
	at := func(strip int) string { return b.addressOf(t, t.window.From) + "&strip=" + number0(strip) }
	if first > 0 {
		pg.Above = at(max(0, first-len(pg.Strips)))
	}
	if last < p.Strips() {
		pg.Below = at(last)
	}
	return pg
}

// columnsOf is the columns for the script: "2026-06-15:0 2026-08-10:1334 …", the last one
// the end.
func columnsOf(p *draw.Picture, all []draw.Column) string {
	var s strings.Builder
	for _, c := range all {
		fmt.Fprintf(&s, "%s:%.0f ", c.From, p.Left(c.From))
	}
	end := all[len(all)-1].Until
	fmt.Fprintf(&s, "%s:%.0f", end, p.Left(end))
	return s.String()
}

// lookOf is what is drawn beside what was laid out.
func (b *board) lookOf(t turning, say draw.Say) draw.Look {
	look := draw.Look{Say: say, Today: b.todayApart()}
	if t.step != "" {
		look.Waits = b.waitsOf(t.step)
	}
	return look
}

// todayApart is today as it is drawn apart from the as-of day, nil where they are one.
func (b *board) todayApart() *time.Time {
	if b.today() == b.AsOf {
		return nil
	}
	now := b.now
	return &now
}

// standsAt is by what a piece of a picture is known to belong to the others: the revision
// and the take of the plan.
func (b *board) standsAt() string { return fmt.Sprintf("%d.%d", b.Revision, b.Take) }
