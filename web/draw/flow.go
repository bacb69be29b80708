package draw

import (
	"strconv"
	"time"
)

// Flow is repeated places down and days across: one line for each kind of work, through
// all places. A steep line is quick work; where two lines come together the one behind
// catches up.
type Flow struct {
	Scale *Scale
	Rows  []string // the places, from the first down
	Lines []FlowLine
	AsOf  time.Time
}

// FlowLine is one kind of work. Points are in the order of the rows.
type FlowLine struct{ Points []FlowPoint }

// FlowPoint is that work in one place.
type FlowPoint struct {
	Row            int
	Key, Href, Tip string
	Start, Finish  time.Time
	Progress       Progress
	Was            *Stretch // when it was issued for, where that is elsewhere
}

// rowHeight is that of the picture of one place.
const rowHeight = 34.0

// LayOut lays the flow out: the work in each place as a stroke with the number of its line,
// and a thread from place to place over them.
func (f Flow) LayOut() *Picture {
	p := &Picture{scale: f.Scale, asOf: f.AsOf, spots: map[string]spot{}}
	strokes := make([]flowRow, len(f.Rows))
	for k, line := range f.Lines {
		for n, at := range line.Points {
			s := stroke{FlowPoint: at, line: k, from: f.Scale.X(at.Start), to: f.Scale.X(at.Finish)}
			s.shown = f.Scale.Shows(at.Start, at.Finish)
			if at.Was != nil && f.Scale.Shows(at.Was.From, at.Was.Until) {
				s.was = &extent{f.Scale.X(at.Was.From), f.Scale.X(at.Was.Until)}
			}
			strokes[at.Row] = append(strokes[at.Row], s)
			p.spots[at.Key] = spot{rowTop(at.Row) + rowHeight/2, s.from, s.to}
			if n == 0 {
				continue
			}
			if last := line.Points[n-1]; f.Scale.Shows(earlier(last.Finish, at.Start), later(last.Finish, at.Start)) {
				p.over = append(p.over, thread{class: "fl" + strconv.Itoa(k%flowDashes), points: []point{
					{f.Scale.X(last.Finish), rowTop(last.Row) + rowHeight - 4}, {s.from, rowTop(at.Row) + 4},
				}})
			}
		}
	}
	for k, title := range f.Rows {
		p.rows = append(p.rows, row{title: title, body: strokes[k]})
	}
	p.stack()
	return p
}

// flowRow is the strokes of one place.
type flowRow []stroke

type stroke struct {
	FlowPoint
	line     int
	from, to float64
	was      *extent
	shown    bool
}

func (r flowRow) height() float64 { return rowHeight }

func (r flowRow) draw(c *canvas, in box, say Say) {
	p := part{c, in, say}
	for _, s := range r {
		if s.was != nil && p.when(s.was.from, s.was.to) {
			p.put(`<path class="fw" d="M`, s.was.from, ` 4L`, max(s.was.to, s.was.from+2), ` `, rowHeight-4, `"/>`)
		}
		if s.shown && p.when(s.from-9, s.to) {
			p.stroke(s)
		}
	}
}

// flowDashes is in how many manners threads are drawn; the numbers tell lines apart.
const flowDashes = 4

func rowTop(row int) float64 { return float64(row)*(CaptionHeight+rowHeight) + CaptionHeight }

func (p part) stroke(s stroke) {
	p.link(s.Key, s.Href, s.Tip, s.from)
	p.put(`<path class="fs `, progressClass[s.Progress], `" d="M`, s.from, ` 4L`, max(s.to, s.from+2), ` `, rowHeight-4, `"/>`)
	p.text("fn", s.from-9, 14, strconv.Itoa(s.line+1))
	p.put(`</a>`)
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
