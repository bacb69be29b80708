package draw

func laneTop(lane int) float64 { return float64(lane) * laneHeight }

// height is that of the picture; a course on which nothing lies is only its caption.
func (l *layout) height() float64 {
	if l.lanes == 0 {
		return 1
	}
	return float64(l.lanes)*laneHeight + courseFoot
}

// draw draws what of the course lies in a part of it: bands first, then blocks and gates.
// What reaches over the edge is drawn whole, and the edge cuts it.
func (l *layout) draw(c *canvas, in box, say Say) {
	p := part{c, in, say}
	p.bands(l.bands)
	for k := range l.blocks {
		p.block(&l.blocks[k])
	}
	p.agreed(l.agreed)
	p.was(l)
	for _, s := range l.spans {
		if p.has(s.lane, 1, s.from, s.reach) {
			s.draw(c)
		}
	}
	for k := range l.marks {
		p.mark(&l.marks[k])
	}
}

// part is a part of a course while it is drawn.
type part struct {
	*canvas
	box
	say Say
}

// has says whether any of what lies in some lanes between two places on the line of time is
// to be drawn.
func (p part) has(lane, lanes int, from, to float64) bool {
	return p.when(from, to) && laneTop(lane) < p.bottom && laneTop(lane+lanes) > p.top
}

// when says it of what is as high as the row. What is no wider than a line lies on either
// side of an edge.
func (p part) when(from, to float64) bool { return from < p.right+1 && to > p.left-1 }

// link opens the link of a block or mark. What began before this part is left out of the
// order in which the keyboard goes through them: it is there already.
func (p part) link(key, href, tip string, from float64) {
	if tip == "" && p.say != nil {
		href, tip = p.say(key)
	}
	more := ""
	if from < p.left-1 {
		more = ` tabindex="-1"`
	}
	p.linked(href, tip, more)
}

// bands draws all bands as one, and the stops at their ends as one.
func (p part) bands(all []laidBand) {
	bands, stops := &canvas{}, &canvas{}
	for _, b := range all {
		if !p.has(b.lane, b.lanes, b.from, b.to) {
			continue
		}
		y := laneTop(b.lane) + 1
		h := float64(b.lanes)*laneHeight - 3
		bands.put(`M`, b.from, ` `, y, `H`, b.to, `v`, h, `H`, b.from, `z`)
		if !b.cut {
			stops.put(`M`, b.to, ` `, y, `v`, h)
		}
	}
	p.path("band", bands)
	p.path("out", stops)
}

// agreed draws what was promised: a thin bracket under the work, and the words of what is
// elsewhere now.
func (p part) agreed(all []laidAgreed) {
	brackets := &canvas{}
	for _, a := range all {
		if !p.has(a.lane, 1, a.from, max(a.to, a.from+textWidth(a.words))) {
			continue
		}
		y := laneTop(a.lane) + agreedLine
		brackets.put(`M`, a.from, ` `, y-3, `v4H`, a.to, `v-4`)
		if a.words != "" {
			p.text("by", a.from, y-7, a.words)
		}
	}
	p.path("pr", brackets)
}

// was draws what was issued and is elsewhere now: a thin bracket over the line, tied to the
// block or gate.
func (p part) was(l *layout) {
	brackets, ties := &canvas{}, &canvas{}
	draw := func(w *extent, lane int, from, to float64) {
		if w == nil || !p.has(lane, 1, min(w.from, from), max(w.to, to)) {
			return
		}
		y := laneTop(lane) + wasLine
		brackets.put(`M`, w.from, ` `, y+4, `v-4H`, w.to, `v4`)
		switch {
		case w.to < from:
			ties.put(`M`, w.to, ` `, y, `H`, from)
		case w.from > to:
			ties.put(`M`, w.from, ` `, y, `H`, to)
		}
	}
	for _, b := range l.blocks {
		draw(b.was, b.lane, b.from, b.to)
	}
	for _, m := range l.marks {
		draw(m.was, m.lane, m.x, m.x)
	}
	p.path("ws", brackets)
	p.path("wy", ties)
}

func (p part) mark(m *laidMark) {
	if !p.has(m.lane, 1, m.x-gateWidth/2, m.x+gateWidth/2+2+textWidth(m.label)) {
		return
	}
	p.link(m.Key, m.Href, m.Tip, m.x)
	y := laneTop(m.lane) + groundLine
	m.Gate.put(p.canvas, m.x, y)
	if m.label != "" {
		p.text("by", m.x+gateWidth/2+2, y-6, m.label)
	}
	p.put(`</a>`)
}

func (p part) block(b *laidBlock) {
	if !p.has(b.lane, 1, b.from, b.reach()) {
		return
	}
	y := laneTop(b.lane) + blockTop
	p.link(b.Key, b.Href, b.Tip, b.from)
	short := b.Short
	if !b.lettered() {
		short = ""
	}
	block(p.canvas, progressClass[b.Progress], b.from, y, b.to-b.from, blockHeight, b.Hatch, short)
	x := b.to + 4
	if short == "" {
		p.text("sh", x, y+15, b.Short)
		x += shortWidth(b.Short) + 3
	}
	switch {
	case b.label == "":
	case b.inside:
		p.text("bi", b.from+b.plate()+6, y+15, b.label)
	default:
		p.text("by", x, y+15, b.label)
	}
	p.put(`</a>`)
}

// block draws a hatched block with the trade's letters, which the style sheet sets
// off from the hatching.
func block(c *canvas, class string, x, y, w, h float64, hatch int, short string) {
	c.put(`<path class="`, class, `" fill="url(#h`, fold(hatch), `)" d="M`, x, ` `, y, `h`, w, `v`, h, `h`, -w, `z"/>`)
	if class == progressClass[Underway] {
		c.put(`<path class="ke" d="M`, x+1.5, ` `, y, `v`, h, `"/>`)
	}
	if short == "" {
		return
	}
	c.text("sh", x+4, y+h-7, short)
}
