package draw

import "html/template"

// LayerState is how far a layer has come.
type LayerState int

// The states of layers.
const (
	ToCome        LayerState = iota // something before it is not done
	Next                            // nothing stops it
	Laying                          // it is being laid
	Bare                            // it is there, and nothing is over it yet
	Covering                        // it is there, and is being covered now or soon
	Covered                         // the next layer is over it
	CoveredUnseen                   // it was covered before it was released
)

var layerClass = [...]string{
	ToCome: "ly lt", Next: "ly ln", Laying: "ly lg", Bare: "ly lb", Covering: "ly lv", Covered: "ly lc", CoveredUnseen: "ly lu",
}

// laid says whether a layer is there.
func (s LayerState) laid() bool { return s >= Bare }

// signs tell states apart without colour: a stone, and the next one over it as a lid.
// They are 18 wide and 16 high, on the middle of their ground line.
var signs = [...]string{
	ToCome:        `<path class="sg sd" d="M-7-8H7V0H-7z"/>`,
	Next:          `<path class="sg" d="M-7-8H7V0H-7zM0-17V-11M-3-14L0-11L3-14"/>`,
	Laying:        `<path class="sg" d="M-7-8H7V0H-7z"/><path class="sf" d="M-7-8H0V0H-7z"/>`,
	Bare:          `<path class="sg sf" d="M-7-8H7V0H-7z"/>`,
	Covering:      `<path class="sg sf" d="M-7-8H7V0H-7z"/><path class="sg sl" d="M-8-11L6-16"/>`,
	Covered:       `<path class="sg sf" d="M-7-8H7V0H-7z"/><path class="sg sl" d="M-8-11H8"/>`,
	CoveredUnseen: `<path class="sg" d="M-7-8H7V0H-7zM-7-8L7 0M7-8L-7 0"/><path class="sg sl" d="M-8-11H8"/>`,
}

// sign draws a state on the middle of its ground line.
func sign(c *canvas, s LayerState, x, y float64) {
	c.put(`<g transform="translate(`, x, ` `, y, `)">`, signs[s], `</g>`)
}

// LayerSign is the sign of a state by itself, beside its word.
func LayerSign(s LayerState) template.HTML {
	c := open("sign", 20, 19, "")
	sign(c, s, 10, 18)
	return c.close()
}

// The cells of a small multiple.
const (
	cellAcross = 15.0
	cellUp     = 11.0
	smallLong  = 34.0
	smallWide  = 72.0
)

// Small draws how far the layers of one place have come, each as wide as the others,
// so that many places can be held against each other. It is told in words beside.
func Small(layers []LayerState, lie Lie) template.HTML {
	n := float64(len(layers))
	w, h := cellAcross*n, smallLong
	if lie != Across {
		w, h = smallWide, cellUp*n
	}
	c := open("small", w+4, h+4, "")
	for k, s := range layers {
		x, y, cw, ch := 2+cellAcross*float64(k), 2.0, cellAcross, smallLong
		if lie != Across {
			at := float64(k)
			if lie == Upwards {
				at = n - 1 - at
			}
			x, y, cw, ch = 2, 2+cellUp*at, smallWide, cellUp
		}
		cell(c, s, x, y, cw, ch)
	}
	return c.close()
}

// cell is one layer of a small multiple.
func cell(c *canvas, s LayerState, x, y, w, h float64) {
	class := "sc"
	switch {
	case s == CoveredUnseen:
		class = "sc"
	case s.laid():
		class = "sc sf"
	case s == ToCome:
		class = "sc sd"
	}
	c.put(`<rect class="`, class, `" x="`, x, `" y="`, y, `" width="`, w, `" height="`, h, `"/>`)
	switch s {
	case CoveredUnseen:
		c.put(`<path class="lx" d="M`, x, ` `, y, `L`, x+w, ` `, y+h, `M`, x+w, ` `, y, `L`, x, ` `, y+h, `"/>`)
	case Laying:
		c.put(`<rect class="sf" x="`, x, `" y="`, y+h/2, `" width="`, w, `" height="`, h/2, `"/>`)
	case Next:
		c.put(`<circle class="sf" cx="`, x+w/2, `" cy="`, y+h/2, `" r="2.5"/>`)
	}
}
