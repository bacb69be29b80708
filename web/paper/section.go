package paper

import (
	"math"
	"strconv"
)

// Layer is one layer of a section, the first at the left.
type Layer struct {
	Thickness int    // mm, 0: not given
	Hatch     int    // the same number is hatched alike
	State     string // in a word
	Laid      bool
	Gate      bool // a hold point stands before what covers it
}

// Section is a piece through a build-up. Layers are as wide as the root of their
// thickness; those still to come have a broken edge.
type Section struct{ Layers []Layer }

const sectionHigh = 38.0

func (s Section) layOut(p *press, width float64) []unit {
	total := 0.0
	for _, l := range s.Layers {
		total += l.width()
	}
	scale := min(1, width/max(total, 1))
	return []unit{{sectionHigh + 8, func(x, y float64) {
		at := x
		var gates []float64
		for k, l := range s.Layers {
			w := l.width() * scale
			p.layer(l, at, y+1, w)
			p.font(true, 9)
			number := strconv.Itoa(k + 1)
			p.pdf.Text(at+w/2-p.pdf.GetStringWidth(number)/2, y+sectionHigh+5, number)
			at += w
			if l.Gate {
				gates = append(gates, at)
			}
		}
		for k, at := range gates { // beside each other they stand at two heights
			high := y + sectionHigh*(0.3+0.35*float64(k%2))
			p.pdf.SetFillColor(255, 255, 255)
			p.pdf.Rect(at-3, high-3, 6, 5.6, "F")
			p.pdf.SetFillColor(0, 0, 0)
			p.gate(at-2.4, high-2.4, 4.8, 4.4)
		}
	}}}
}

func (l Layer) width() float64 { return max(7, 2*math.Sqrt(float64(l.Thickness))) }

// layer draws one with its hatching: lines at an angle and a distance of its own.
func (p *press) layer(l Layer, x, y, w float64) {
	p.pdf.ClipRect(x, y, w, sectionHigh, false)
	p.pdf.SetLineWidth(0.15)
	angles := []float64{45, 0, 135, 90, 30, 150}
	angle, gap := angles[l.Hatch%len(angles)]*math.Pi/180, 1.6+0.9*float64(l.Hatch/len(angles)%3)
	dx, dy := math.Cos(angle), math.Sin(angle)
	cx, cy, reach := x+w/2, y+sectionHigh/2, w+sectionHigh
	for d := -reach; d <= reach; d += gap {
		p.pdf.Line(cx-dy*d-dx*reach, cy+dx*d-dy*reach, cx-dy*d+dx*reach, cy+dx*d+dy*reach)
	}
	p.pdf.ClipEnd()
	p.pdf.SetLineWidth(0.5)
	if !l.Laid {
		p.pdf.SetDashPattern([]float64{1.4, 1.2}, 0)
	}
	p.pdf.Rect(x, y, w, sectionHigh, "D")
	p.pdf.SetDashPattern([]float64{}, 0)
}
