package draw

import "html/template"

// point and box are in pixels from the first day and the first row.
type point struct{ x, y float64 }

type box struct{ left, top, right, bottom float64 }

// touches says whether the straight way from a to b comes near the box.
func (b box) touches(a, z point) bool {
	const wide = sagging // more than any line is wide
	return min(a.x, z.x) <= b.right+wide && max(a.x, z.x) >= b.left-wide && min(a.y, z.y) <= b.bottom+wide && max(a.y, z.y) >= b.top-wide
}

// thread is a line through several rows. In each piece only so much of it is drawn as
// comes near; the edge of the piece cuts it, and it goes on in the next.
type thread struct {
	class  string
	points []point
	knots  []point
	halo   bool // of paper, where it crosses other lines
	sag    bool // it hangs loose between its two points
}

// draw draws the thread in a piece, y counted from the piece's top.
func (t *thread) draw(c *canvas, in box) {
	d := &canvas{}
	last := -1
	for k := 1; k < len(t.points); k++ {
		a, z := t.points[k-1], t.points[k]
		if !in.touches(a, z) {
			continue
		}
		if last != k-1 {
			d.put(`M`, a.x, ` `, a.y-in.top)
		}
		last = k
		t.leg(d, a, z, in.top)
	}
	if len(d.b) > 0 && t.halo {
		c.put(`<path class="halo" d="`, string(d.b), `"/>`)
	}
	c.path(t.class, d)
	knots := &canvas{}
	for _, k := range t.knots {
		if in.touches(k, k) {
			knots.put(`<circle cx="`, k.x, `" cy="`, k.y-in.top, `" r="3"/>`)
		}
	}
	if len(knots.b) > 0 {
		c.put(`<g class="knot">`, string(knots.b), `</g>`)
	}
}

// leg goes from the last point to the next.
func (t *thread) leg(d *canvas, a, z point, top float64) {
	switch {
	case t.sag:
		d.put(`C`, a.x+sagging, ` `, (a.y+2*z.y)/3-top, ` `, z.x-sagging, ` `, (2*a.y+z.y)/3-top, ` `, z.x, ` `, z.y-top)
	case a.x == z.x:
		d.put(`V`, z.y-top)
	case a.y == z.y:
		d.put(`H`, z.x)
	default:
		d.put(`L`, z.x, ` `, z.y-top)
	}
}

// sagging is how far a loose thread swings out, in pixels.
const sagging = 18.0

// spot is where a block or a mark was laid: its line and its two ends.
type spot struct{ y, from, to float64 }

// chain is the driving chain as one mason's line: from the as-of day along the foot of
// each of its blocks, and straight up or down to the next where the one hands over.
func (p *Picture) chain(keys []string) (thread, bool) {
	t := thread{class: "line", halo: true}
	to := func(x, y float64) {
		if n := len(t.points); n == 0 || t.points[n-1] != (point{x, y}) {
			t.points = append(t.points, point{x, y})
		}
	}
	for _, key := range keys {
		s, known := p.spots[key]
		if !known {
			continue
		}
		if n := len(t.points); n > 0 {
			to(t.points[n-1].x, s.y)
		} else if x := p.scale.X(p.asOf); p.scale.Shows(p.asOf, p.asOf) && x < s.from {
			to(x, s.y)
		}
		to(s.from, s.y)
		to(s.to, s.y)
		t.knots = append(t.knots, point{s.from, s.y})
	}
	return t, len(t.points) > 0
}

// Wait is what one step waits for, or what waits for it: from one end of a block or mark
// to one of another. A tight one holds it where it is.
type Wait struct {
	From, To       string // keys
	AtStart, Start bool   // it leads from the start of the one, to the start of the other
	Tight          bool
}

// thread is a wait as it is drawn, unless one of its ends lies nowhere in the picture.
func (p *Picture) thread(w Wait) (thread, bool) {
	a, known := p.spots[w.From]
	z, also := p.spots[w.To]
	if !known || !also {
		return thread{}, false
	}
	from, to := point{a.to, a.y}, point{z.to, z.y}
	if w.AtStart {
		from.x = a.from
	}
	if w.Start {
		to.x = z.from
	}
	t := thread{class: "wl", points: []point{from, to}, knots: []point{from}, sag: true}
	if w.Tight {
		t.class = "wt"
	}
	return t, true
}

// Waits draws waits over the whole picture, in an SVG that lies where its viewBox begins;
// empty where none has both ends in it.
func (p *Picture) Waits(all []Wait) template.HTML {
	var threads []thread
	in := box{p.scale.Width, p.height, 0, 0}
	for _, w := range all {
		if t, ok := p.thread(w); ok {
			threads = append(threads, t)
			for _, at := range t.points {
				in = box{min(in.left, at.x), min(in.top, at.y), max(in.right, at.x), max(in.bottom, at.y)}
			}
		}
	}
	if len(threads) == 0 {
		return ""
	}
	const room = sagging + 4
	in = box{in.left - room, in.top - room, in.right + room, in.bottom + room}
	c := openPiece("cords", in.left, in.top, in.right-in.left, in.bottom-in.top, "")
	for k := range threads {
		threads[k].draw(c, box{in.left, 0, in.right, in.bottom})
	}
	return c.close()
}
