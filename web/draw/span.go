package draw

// addSpan gives a measured time the lowest lane that is free all along it.
func (l *layout) addSpan(f Field, s Span, ends *[]float64) {
	laid := laidSpan{Span: s, from: f.Scale.X(s.From), to: f.Scale.X(s.Until)}
	laid.to = max(laid.to, laid.from+4)
	reach := laid.to
	switch {
	case s.Twice && f.Labels:
		laid.words = cut(s.Words, 260)
		reach += textWidth(laid.words) + 14
	case !s.Twice && laid.to-laid.from-8 > textWidth(s.Words):
		laid.words = s.Words
	}
	laid.lane = free(ends, laid.from, 1)
	laid.reach = reach
	(*ends)[laid.lane] = reach + gap
	l.spans = append(l.spans, laid)
}

// draw draws a time away as a measured length with its words over it, and a double
// booking as two frames, one over the other.
func (s laidSpan) draw(c *canvas) {
	y := laneTop(s.lane) + blockTop
	if s.Twice {
		c.put(`<path class="tw" d="M`, s.from, ` `, y+1, `H`, s.to, `v13H`, s.from, `zM`, s.from+5, ` `, y+7, `H`, s.to+5, `v13H`, s.from+5, `z"/>`)
		if s.words != "" {
			c.text("by", s.to+10, y+15, s.words)
		}
		return
	}
	c.put(`<path class="aw" d="M`, s.from, ` `, y+12, `v10m0-5H`, s.to, `m0-5v10"/>`)
	if s.words != "" {
		c.text("aws", s.from+5, y+12, s.words)
	}
}
