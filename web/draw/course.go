package draw

import (
	"cmp"
	"html/template"
	"slices"
)

// layout is one course with every block, band and gate in its lane.
type layout struct {
	lanes  int
	blocks []laidBlock
	bands  []laidBand
	marks  []laidMark
	agreed []laidAgreed
	spans  []laidSpan
	spots  map[string]spot
}

type laidBlock struct {
	Block
	visit    *Visit
	lane     int
	from, to float64
	label    string // what of the words there is room for
	inside   bool
}

type laidBand struct {
	visit       *Visit
	lane, lanes int
	from, to    float64
	cut         bool // it goes on, behind what lies further along in its lane
}

type laidMark struct {
	Mark
	lane  int
	x     float64
	label string
}

// laidAgreed is a promise under its visit, or with its words in a lane of its own.
type laidAgreed struct {
	lane     int
	from, to float64
	words    string
}

// laidSpan is a measured time in its lane.
type laidSpan struct {
	Span
	lane     int
	from, to float64
	words    string
}

// item is a visit, a mark or a measured time on its way to a lane.
type item struct {
	visit *Visit
	mark  *Mark
	span  *Span
	x     float64
}

// gap is kept free between neighbours in a lane.
const gap = 6.0

// layOut gives every visit and mark the lowest lane in which it touches nobody,
// from left to right; the blocks of one visit stay together.
func (f Field) layOut(course Course) *layout {
	l := &layout{spots: map[string]spot{}}
	var ends []float64 // by lane: where the last thing in it ends
	for _, it := range f.items(course) {
		switch {
		case it.span != nil:
			l.addSpan(f, *it.span, &ends)
		case it.mark != nil:
			l.addMark(f, *it.mark, it.x, &ends)
		case len(it.visit.Blocks) == 0:
			l.addAgreed(f, it.visit.Agreed[0], it.x, &ends)
		default:
			l.addVisit(f, it.visit, &ends)
		}
	}
	l.lanes = len(ends)
	l.trimBands()
	return l
}

func (f Field) items(course Course) []item {
	var items []item
	for k := range course.Visits {
		v := &Visit{From: course.Visits[k].From, Until: course.Visits[k].Until}
		v.Blocks = slices.DeleteFunc(slices.Clone(course.Visits[k].Blocks), func(b Block) bool { return !f.Scale.Shows(b.Start, b.Finish) })
		v.Agreed = f.shown(course.Visits[k].Agreed)
		if len(v.Blocks) == 0 {
			for _, a := range v.Agreed {
				items = append(items, item{visit: &Visit{Agreed: []Agreed{a}}, x: f.Scale.X(a.From)})
			}
			continue
		}
		slices.SortStableFunc(v.Blocks, func(a, b Block) int { return a.Start.Compare(b.Start) })
		items = append(items, item{visit: v, x: f.Scale.X(v.Blocks[0].Start)})
	}
	for k := range course.Marks {
		m := &course.Marks[k]
		if f.Scale.Shows(m.At, m.At) {
			items = append(items, item{mark: m, x: f.Scale.X(m.At)})
		}
	}
	for k := range course.Spans {
		s := &course.Spans[k]
		if f.Scale.Shows(s.From, s.Until) {
			items = append(items, item{span: s, x: f.Scale.X(s.From)})
		}
	}
	slices.SortStableFunc(items, func(a, b item) int { return cmp.Compare(a.x, b.x) })
	return items
}

func (l *layout) addMark(f Field, m Mark, x float64, ends *[]float64) {
	laid := laidMark{Mark: m, x: max(x, gateWidth/2)}
	width := float64(gateWidth)
	if f.Labels {
		laid.label = cut(m.Label, 150)
		width += textWidth(laid.label) + 4
	}
	laid.lane = free(ends, laid.x-gateWidth/2, 1)
	(*ends)[laid.lane] = laid.x - gateWidth/2 + width + gap
	l.marks = append(l.marks, laid)
	l.spots[m.Key] = spot{laneTop(laid.lane) + chainLine, laid.x, laid.x, true}
}

func (l *layout) addVisit(f Field, v *Visit, ends *[]float64) {
	var inner []float64
	var laid []laidBlock
	for _, b := range v.Blocks {
		k := f.fit(b)
		k.visit = v
		k.lane = free(&inner, k.from, 1)
		inner[k.lane] = k.reach() + gap
		laid = append(laid, k)
	}
	base := free(ends, laid[0].from, len(inner))
	band := laidBand{visit: v, lane: base, lanes: len(inner), from: laid[0].from}
	for k := range laid {
		b := &laid[k]
		b.lane += base
		l.spots[b.Key] = spot{laneTop(b.lane) + chainLine, b.from, b.to, true}
		band.to = max(band.to, b.to)
	}
	for k, end := range inner {
		(*ends)[base+k] = end
	}
	for _, a := range v.Agreed {
		l.agreed = append(l.agreed, laidAgreed{lane: base, from: f.Scale.X(a.From), to: f.Scale.X(a.Until)})
	}
	l.blocks = append(l.blocks, laid...)
	if !v.Until.IsZero() {
		band.from = min(band.from, f.Scale.X(v.From))
		band.to = max(band.to, f.Scale.X(v.Until))
		band.cut = !v.Until.Before(f.Scale.end)
		l.bands = append(l.bands, band)
	}
}

// shown is the promises that lie on the scale.
func (f Field) shown(all []Agreed) []Agreed {
	var shown []Agreed
	for _, a := range all {
		if f.Scale.Shows(a.From, a.Until) {
			shown = append(shown, a)
		}
	}
	return shown
}

// addAgreed gives a promise whose visit lies elsewhere a lane, with its words.
func (l *layout) addAgreed(f Field, a Agreed, x float64, ends *[]float64) {
	laid := laidAgreed{from: x, to: max(f.Scale.X(a.Until), x+4), words: cut(a.Words, 240)}
	laid.lane = free(ends, x, 1)
	(*ends)[laid.lane] = max(laid.to, x+textWidth(laid.words)) + gap
	l.agreed = append(l.agreed, laid)
}

// fit works out a block's ends and how many of its words there is room for.
func (f Field) fit(b Block) laidBlock {
	k := laidBlock{Block: b, from: f.Scale.X(b.Start), to: f.Scale.X(b.Finish)}
	k.to = max(k.to, k.from+4)
	room := k.to - k.from - k.plate() - 10
	k.inside = room > textWidth(b.Label)
	switch {
	case k.inside:
		k.label = b.Label
	case f.Labels && room > 12*letter:
		k.inside, k.label = true, cut(b.Label, room)
	case f.Labels:
		k.label = cut(b.Label, 150)
	}
	return k
}

// plate is the width of the plate that carries the trade's letters.
func (k laidBlock) plate() float64 { return shortWidth(k.Short) + 6 }

// lettered says whether the plate fits into the block.
func (k laidBlock) lettered() bool { return k.to-k.from >= k.plate()+2 }

// reach is how far to the right the block and its words go.
func (k laidBlock) reach() float64 {
	x := k.to
	if !k.lettered() {
		x += shortWidth(k.Short) + 4
	}
	if !k.inside && k.label != "" {
		x += textWidth(k.label) + 4
	}
	return x
}

// free is the lowest of n neighbouring lanes whose ends lie at or before x; lanes
// are added as needed.
func free(ends *[]float64, x float64, n int) int {
	for lane := 0; ; lane++ {
		for len(*ends) < lane+n {
			*ends = append(*ends, -1)
		}
		if !slices.ContainsFunc((*ends)[lane:lane+n], func(end float64) bool { return end > x }) {
			return lane
		}
	}
}

// trimBands ends every band before what comes next in its lanes and is not of its
// own visit.
func (l *layout) trimBands() {
	for k := range l.bands {
		b := &l.bands[k]
		stop := func(lane int, x float64) {
			if lane >= b.lane && lane < b.lane+b.lanes && x > b.from && x-4 < b.to {
				b.to, b.cut = x-4, true
			}
		}
		for _, o := range l.blocks {
			if o.visit != b.visit {
				stop(o.lane, o.from)
			}
		}
		for _, m := range l.marks {
			stop(m.lane, m.x-gateWidth/2)
		}
		for _, s := range l.spans {
			stop(s.lane, s.from)
		}
	}
}

func laneTop(lane int) float64 { return float64(lane) * laneHeight }

// height is that of the picture; a course on which nothing lies is only its caption.
func (l *layout) height() float64 {
	if l.lanes == 0 {
		return 1
	}
	return float64(l.lanes)*laneHeight + courseFoot
}

// draw draws the course: bands first, then the bed line, blocks and gates.
func (l *layout) draw(width float64, title string) template.HTML {
	c := open("course", width, l.height(), title)
	l.drawBands(c)
	for _, b := range l.blocks {
		l.drawBlock(c, b)
	}
	l.drawAgreed(c)
	for _, s := range l.spans {
		s.draw(c)
	}
	for _, m := range l.marks {
		c.link(m.Href, m.Tip)
		y := laneTop(m.lane) + groundLine
		m.Gate.put(c, m.x, y)
		if m.label != "" {
			c.text("by", m.x+gateWidth/2+2, y-6, m.label)
		}
		c.put(`</a>`)
	}
	return c.close()
}

// drawBands draws all bands as one, and the stops at their ends as one.
func (l *layout) drawBands(c *canvas) {
	bands, stops := &canvas{}, &canvas{}
	for _, b := range l.bands {
		y := laneTop(b.lane) + 1
		h := float64(b.lanes)*laneHeight - 3
		bands.put(`M`, b.from, ` `, y, `H`, b.to, `v`, h, `H`, b.from, `z`)
		if !b.cut {
			stops.put(`M`, b.to, ` `, y, `v`, h)
		}
	}
	c.path("band", bands)
	c.path("out", stops)
}

// drawAgreed draws what was promised: a thin bracket under the work, and the words of
// what is elsewhere now.
func (l *layout) drawAgreed(c *canvas) {
	brackets := &canvas{}
	for _, a := range l.agreed {
		y := laneTop(a.lane) + agreedLine
		brackets.put(`M`, a.from, ` `, y-3, `v4H`, a.to, `v-4`)
		if a.words != "" {
			c.text("by", a.from, y-7, a.words)
		}
	}
	c.path("pr", brackets)
}

func (l *layout) drawBlock(c *canvas, b laidBlock) {
	y := laneTop(b.lane) + blockTop
	c.link(b.Href, b.Tip)
	short := b.Short
	if !b.lettered() {
		short = ""
	}
	block(c, progressClass[b.Progress], b.from, y, b.to-b.from, blockHeight, b.Hatch, short)
	x := b.to + 4
	if short == "" {
		c.text("sh", x, y+15, b.Short)
		x += shortWidth(b.Short) + 3
	}
	switch {
	case b.label == "":
	case b.inside:
		c.text("bi", b.from+b.plate()+6, y+15, b.label)
	default:
		c.text("by", x, y+15, b.label)
	}
	c.put(`</a>`)
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
