package draw

import (
	"html/template"
	"math"
)

// LayerState is how far a layer has come.
type LayerState int

// The states of layers. Bare: it is there and nothing covers it yet.
const (
	ToCome LayerState = iota
	Next
	Bare
	Covered
	CoveredUnseen
)

var layerClass = [...]string{ToCome: "ly lt", Next: "ly ln", Bare: "ly lb", Covered: "ly lc", CoveredUnseen: "ly lu"}

// Layer is one layer of a section.
type Layer struct {
	Thickness int // mm, 0: not given
	Hatch     int
	State     LayerState
	Number    string
}

// sectionHeight is the height of the piece of wall that is drawn.
const sectionHeight = 150.0

// Section draws a piece through a build-up, the first layer at the left, each as
// wide as the root of its thickness, so that a membrane can be seen beside a beam.
func Section(layers []Layer, label string) template.HTML {
	width := 16.0
	for _, l := range layers {
		width += layerWidth(l)
	}
	c := open("section", width, sectionHeight+22, label)
	x := 8.0
	for _, l := range layers {
		w := layerWidth(l)
		c.put(`<rect class="`, layerClass[l.State], `" x="`, x, `" y="4" width="`, w, `" height="`, sectionHeight, `"`)
		c.put(` fill="url(#h`, fold(l.Hatch), `)"`)
		c.put(`/>`)
		if l.State == CoveredUnseen {
			c.put(`<path class="lx" d="M`, x, ` 4L`, x+w, ` `, 4+sectionHeight, `M`, x+w, ` 4L`, x, ` `, 4+sectionHeight, `"/>`)
		}
		c.text("num", x+w/2, sectionHeight+18, l.Number)
		x += w
	}
	return c.close()
}

func layerWidth(l Layer) float64 {
	if l.Thickness == 0 {
		return 22
	}
	return max(22, math.Round(7*math.Sqrt(float64(l.Thickness))))
}
