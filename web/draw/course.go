package draw

import (
	"cmp"
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
	spots  map[string]spot // by key, y from the top of the course
}

type laidBlock struct {
	Block
	visit    *Visit
	lane     int
	from, to float64
	was      *extent // where it was issued for, nil: there, or never
	label    string  // what of the words there is room for
	inside   bool
}

// extent is a run along the line of time.
type extent struct{ from, to float64 }

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
	was   *extent
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
	reach    float64 // with its words
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
	laid := laidMark{Mark: m, x: max(x, gateWidth/2), was: f.was(m.Was)}
	width := float64(gateWidth)
	if f.Labels {
		laid.label = cut(m.Label, 150)
		width += textWidth(laid.label) + 4
	}
	laid.lane = free(ends, laid.x-gateWidth/2, 1)
	(*ends)[laid.lane] = laid.x - gateWidth/2 + width + gap
	l.marks = append(l.marks, laid)
	l.spots[m.Key] = spot{laneTop(laid.lane) + chainLine, laid.x, laid.x}
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
		l.spots[b.Key] = spot{laneTop(b.lane) + chainLine, b.from, b.to}
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
	k := laidBlock{Block: b, from: f.Scale.X(b.Start), to: f.Scale.X(b.Finish), was: f.was(b.Was)}
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

// was lays what was issued on the scale.
func (f Field) was(s *Stretch) *extent {
	if s == nil || !f.Scale.Shows(s.From, s.Until) {
		return nil
	}
	return &extent{f.Scale.X(s.From), f.Scale.X(s.Until)}
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
	type begin struct {
		x     float64
		visit *Visit
	}
	begins := make([][]begin, l.lanes)
	add := func(lane int, x float64, v *Visit) { begins[lane] = append(begins[lane], begin{x, v}) }
	for _, b := range l.blocks {
		add(b.lane, b.from, b.visit)
	}
	for _, m := range l.marks {
		add(m.lane, m.x-gateWidth/2, nil)
	}
	for _, s := range l.spans {
		add(s.lane, s.from, nil)
	}
	for _, in := range begins {
		slices.SortStableFunc(in, func(a, b begin) int { return cmp.Compare(a.x, b.x) })
	}
	for k := range l.bands {
		b := &l.bands[k]
		for _, in := range begins[b.lane : b.lane+b.lanes] {
			n, _ := slices.BinarySearchFunc(in, b.from, func(i begin, x float64) int {
				if i.x <= x {
					return -1
				}
				return 1
			})
			for ; n < len(in) && in[n].x-4 < b.to; n++ {
				if in[n].visit != b.visit {
					b.to, b.cut = in[n].x-4, true
					break
				}
			}
		}
	}
}
