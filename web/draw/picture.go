package draw

import (
	"html/template"
	"math"
	"slices"
	"time"

	"gaugerod/scheduler/worktime"
)

// Picture is what happens over time, laid out whole: rows from the top, days from the
// left. It is drawn in pieces, a strip of rows over a column of days each, so that only
// what somebody looks at is ever drawn.
type Picture struct {
	scale  *Scale
	asOf   time.Time
	rows   []row
	strips []strip
	over   []thread
	spots  map[string]spot // by key: where a block or mark was laid
	height float64
}

// row is one caption and what lies under it.
type row struct {
	title string
	depth int
	top   float64 // of the caption
	body  body
}

// body is the picture of one row, from 0 to its height.
type body interface {
	height() float64
	// draw draws what lies in a part of it.
	draw(c *canvas, in box, say Say)
}

// strip is a run of slices, one under the other.
type strip struct {
	top, height float64
	slices      []slice
}

// slice is a row, or a part of a tall one.
type slice struct {
	row      *row
	from, to float64 // in the row's body
	first    bool    // it has the caption
}

// Heights of a picture, in pixels. The style sheet keeps captions to theirs.
const (
	CaptionHeight = 26.0
	stripHeight   = 160.0
	sliceHeight   = 4 * laneHeight
	tail          = 80.0 // room to the right of the last day for its words
)

// Say is the address of a block or mark and what it says, by its key, where it has not
// got its own. They are made when a piece is drawn, because a picture has thousands.
type Say func(key string) (href, tip string)

// Look is what is drawn with a piece beside what was laid out.
type Look struct {
	Today *time.Time // drawn apart from the as-of day where it is given
	Say   Say
	Waits []Wait // of one step
}

// Column is a run of days, the last one not included.
type Column struct{ From, Until worktime.Date }

// Strip is a strip of rows, drawn over some columns.
type Strip struct {
	Under, Over []template.HTML // by column
	Slices      []Slice
}

// Slice is one row in a strip, or a part of a tall one, which has no caption.
type Slice struct {
	Title    string
	Depth    int
	Captions bool
	GoesOn   bool            // in the next slice
	Pieces   []template.HTML // by column
}

// Weight is how much there is of a strip, in bytes.
func (s Strip) Weight() int {
	n := weigh(s.Under) + weigh(s.Over)
	for _, l := range s.Slices {
		n += weigh(l.Pieces)
	}
	return n
}

func weigh(all []template.HTML) int {
	n := 0
	for _, h := range all {
		n += len(h)
	}
	return n
}

// stack puts the rows one under the other and cuts them into strips.
func (p *Picture) stack() {
	for k := range p.rows {
		r := &p.rows[k]
		r.top = p.height
		tall := r.body.height()
		p.height += CaptionHeight + tall
		for y := 0.0; y < tall; y += sliceHeight {
			s := slice{r, y, min(y+sliceHeight, tall), y == 0}
			if tall-s.to < laneHeight { // no sliver is left over
				s.to = tall
			}
			p.add(s)
			if s.to == tall {
				break
			}
		}
	}
}

func (p *Picture) add(s slice) {
	tall := s.to - s.from
	if s.first {
		tall += CaptionHeight
	}
	n := len(p.strips)
	if n == 0 || p.strips[n-1].height+tall > stripHeight {
		top := 0.0
		if n > 0 {
			top = p.strips[n-1].top + p.strips[n-1].height
		}
		p.strips = append(p.strips, strip{top: top})
		n++
	}
	last := &p.strips[n-1]
	last.height += tall
	last.slices = append(last.slices, s)
}

// Tops is where each strip begins, and where the last one ends.
func (p *Picture) Tops() []int {
	tops := make([]int, 0, len(p.strips)+1)
	for _, s := range p.strips {
		tops = append(tops, int(math.Round(s.top)))
	}
	return append(tops, int(math.Round(p.height)))
}

// StripOf is the strip in which a block or mark lies, by its key, and whether it does.
func (p *Picture) StripOf(key string) (int, bool) {
	at, known := p.spots[key]
	for k, s := range p.strips {
		if known && at.y < s.top+s.height {
			return k, true
		}
	}
	return 0, false
}

// Strips is how many strips there are.
func (p *Picture) Strips() int { return len(p.strips) }

// Left is how far to the right a day begins. The end of the last one has the room for its
// words on its left.
func (p *Picture) Left(d worktime.Date) float64 {
	k := int(d - p.scale.From)
	switch {
	case k <= 0:
		return 0
	case k >= len(p.scale.days):
		return math.Round(p.scale.Width) + tail
	}
	return math.Round(p.scale.days[k].left)
}

// Staff draws the days of a column along the top.
func (p *Picture) Staff(col Column, look Look) template.HTML {
	return p.staff(p.Left(col.From), p.Left(col.Until), look.Today)
}

// Strip draws one strip over some columns.
func (p *Picture) Strip(k int, columns []Column, look Look) Strip {
	s := &p.strips[k]
	over := p.over
	for _, w := range look.Waits {
		if t, ok := p.thread(w); ok {
			over = append(slices.Clip(over), t)
		}
	}
	d := Strip{Slices: make([]Slice, len(s.slices))}
	for n, at := range s.slices {
		d.Slices[n] = Slice{Title: at.row.title, Depth: at.row.depth, Captions: at.first, GoesOn: at.to < at.row.body.height()}
	}
	for _, col := range columns {
		from, to := p.Left(col.From), p.Left(col.Until)
		d.Under = append(d.Under, p.under(from, to, s.height, look.Today))
		for n, at := range s.slices {
			d.Slices[n].Pieces = append(d.Slices[n].Pieces, at.draw(from, to, look.Say))
		}
		c := openPiece("over", from, 0, to-from, s.height, "")
		for k := range over {
			over[k].draw(c, box{from, s.top, to, s.top + s.height})
		}
		d.Over = append(d.Over, c.close())
	}
	return d
}

// draw draws the slice in a column.
func (s slice) draw(from, to float64, say Say) template.HTML {
	inner, label := &canvas{}, ""
	s.row.body.draw(inner, box{from, s.from, to, s.to}, say)
	if len(inner.b) > 0 {
		label = s.row.title
	}
	c := openPiece("course", from, s.from, to-from, s.to-s.from, label)
	c.b = append(c.b, inner.b...)
	return c.close()
}

// under draws what lies behind the rows: the weeks, the past, the as-of day and today.
func (p *Picture) under(from, to, height float64, today *time.Time) template.HTML {
	c := openPiece("under", from, 0, to-from, height, "")
	weeks := &canvas{}
	for k, d := range p.scale.days {
		if d.left >= from-1 && d.left < to && ((p.scale.From+dayOf(k)).Weekday() == time.Monday || p.scale.hourly()) {
			weeks.put(`M`, d.left, ` 0V`, height)
		}
	}
	c.path("wk", weeks)
	if p.scale.Shows(p.asOf, p.asOf) {
		x := p.scale.X(p.asOf)
		if x > from {
			c.put(`<path class="past" d="M`, from, ` 0H`, min(x, to), `V`, height, `H`, from, `z"/>`)
		}
		p.day(c, "asof", p.asOf, from, to, height)
	}
	if today != nil {
		p.day(c, "today", *today, from, to, height)
	}
	return c.close()
}

// day draws the line of a moment through a strip.
func (p *Picture) day(c *canvas, class string, t time.Time, from, to, height float64) {
	const half = 2 // of the line's width: it shows on both sides of the edge of a column
	if x := p.scale.X(t); p.scale.Shows(t, t) && x >= from-half && x <= to+half {
		c.put(`<path class="`, class, `" d="M`, x, ` 0V`, height, `"/>`)
	}
}
