package draw

import (
	"html/template"
	"math"
	"strconv"
)

// Layer is one layer of a section.
type Layer struct {
	Thickness int // mm, 0: not given
	Hatch     int
	State     LayerState
	Number    string
	Href, Tip string     // where it leads when it is pointed at, and what it says
	Clock     string     // what a clock on it has left, short; empty: none runs
	Late      bool       // the clock runs out before the plan stops it
	Gates     []GateMark // hold points between it and the next layer
}

// GateMark is a hold point between two layers.
type GateMark struct {
	Gate      Gate
	Href, Tip string
}

// Lie is how the layers of a section lie.
type Lie int

// The ways in which layers lie.
const (
	Across   Lie = iota // side by side, the first at the left: walls
	Upwards             // one on another, the first at the bottom: floors, roofs
	Downward            // the first on top: ceilings
)

// Section is a piece cut through a build-up.
type Section struct {
	Layers      []Layer
	Lie         Lie
	First, Last string // what lies beyond the first layer and the last: "inside", "outside"
	Label       string // what the picture is
	Plain       bool   // only the order: neither states nor clocks nor gates
}

// The measures of sections, in pixels.
const (
	thinnest   = 7.0   // a layer is not drawn narrower than this
	lineOnly   = 24.0  // a layer where none of the build-up has a thickness
	acrossMost = 316.0 // all layers side by side
	upMost     = 240.0 // all layers one on another
	finest     = 5.0   // pixels for a millimetre, at most
	cutLength  = 180.0 // the length of the piece that is drawn
	signPitch  = 34.0  // between the numbers under a section
	signRow    = 24.0  // between the numbers beside one
	gatePitch  = 26.0
)

// sized is a section whose layers have their widths.
type sized struct {
	*Section
	widths []float64
	edges  []float64 // where each layer begins, from the first on, and the last ends
	scale  float64   // pixels for a millimetre; 0: no layer has a thickness
}

func (s *Section) sized() *sized {
	most := acrossMost
	if s.Lie != Across {
		most = upMost
	}
	z := &sized{Section: s, widths: make([]float64, len(s.Layers)), edges: []float64{0}}
	z.scale = scaleOf(s.Layers, most)
	for k, l := range s.Layers {
		switch {
		case z.scale == 0:
			z.widths[k] = lineOnly
		default:
			z.widths[k] = max(thinnest, math.Round(float64(l.Thickness)*z.scale))
		}
		z.edges = append(z.edges, z.edges[k]+z.widths[k])
	}
	return z
}

// scaleOf is the pixels for a millimetre with which all layers fit, those that are
// too thin to be seen drawn as lines; 0 where no layer has a thickness.
func scaleOf(layers []Layer, most float64) float64 {
	thick := make([]bool, len(layers))
	for k, l := range layers {
		thick[k] = l.Thickness > 0
	}
	for {
		sum, lines := 0.0, 0.0
		for k, l := range layers {
			if thick[k] {
				sum += float64(l.Thickness)
			} else {
				lines += thinnest
			}
		}
		if sum == 0 {
			return 0
		}
		scale, again := min(max(most-lines, most/2)/sum, finest), false
		for k, l := range layers {
			if thick[k] && float64(l.Thickness)*scale < thinnest && float64(l.Thickness) < sum {
				thick[k], again = false, true
			}
		}
		if !again {
			return scale
		}
	}
}

// Widened is which layers, from 0, are drawn wider than they are: those without a
// thickness and those too thin to be seen. To scale says whether any is to scale.
func (s *Section) Widened() (which []int, toScale bool) {
	z := s.sized()
	for k, l := range s.Layers {
		if z.scale == 0 || float64(l.Thickness)*z.scale < thinnest {
			which = append(which, k)
		}
	}
	return which, z.scale > 0
}

// Draw draws the section.
func (s *Section) Draw() template.HTML {
	if s.Lie == Across {
		return s.sized().across()
	}
	return s.sized().stacked()
}

// spread moves points that have to be some way apart as little as it can, within
// [low, high] as far as there is room.
func spread(at []float64, apart, low, high float64) []float64 {
	out := make([]float64, len(at))
	for k, x := range at {
		out[k] = max(x, low)
		if k > 0 {
			out[k] = max(out[k], out[k-1]+apart)
		}
	}
	for k := len(out) - 1; k >= 0; k-- {
		most := high
		if k < len(out)-1 {
			most = out[k+1] - apart
		}
		out[k] = min(out[k], most)
	}
	return out
}

// lanes puts gates that hang at points of an edge into lanes, so that no two that are
// near each other lie in one. The points come in order.
func lanes(at []float64, apart float64) (lane []int, n int) {
	var last []float64
	for _, x := range at {
		k := 0
		for k < len(last) && x-last[k] < apart {
			k++
		}
		if k == len(last) {
			last = append(last, x)
		}
		last[k] = x
		lane = append(lane, k)
	}
	return lane, len(last)
}

// stone draws one layer in its state.
func (z *sized) stone(c *canvas, k int, x, y, w, h float64) {
	l := &z.Layers[k]
	class := layerClass[l.State]
	if z.Plain {
		class = "ly lc"
	}
	c.put(`<rect class="`, class, `" x="`, x, `" y="`, y, `" width="`, w, `" height="`, h, `" fill="url(#h`, fold(l.Hatch), `)"/>`)
	if l.State == CoveredUnseen && !z.Plain {
		c.put(`<path class="lx" d="M`, x, ` `, y, `L`, x+w, ` `, y+h, `M`, x+w, ` `, y, `L`, x, ` `, y+h, `"/>`)
	}
}

// mark draws a layer's number with its sign and its clock about a point.
func (z *sized) mark(c *canvas, k int, x, y float64) {
	l := &z.Layers[k]
	if z.Plain {
		c.text("num", x, y+4, l.Number)
		return
	}
	if l.Href != "" {
		c.link(l.Href, l.Tip)
		defer c.put(`</a>`)
	}
	clock := "num clock"
	if l.Late {
		clock = "num clock late"
	}
	if z.Lie == Across {
		c.put(`<rect class="hit" x="`, x-16, `" y="`, y-10, `" width="32" height="52"/>`)
		c.text("num", x, y+4, l.Number)
		sign(c, l.State, x, y+26)
		c.text(clock, x, y+40, l.Clock)
		return
	}
	c.put(`<rect class="hit" x="`, x-10, `" y="`, y-12, `" width="84" height="24"/>`)
	c.text("num", x, y+4, l.Number)
	sign(c, l.State, x+24, y+5)
	c.text(clock, x+56, y+4, l.Clock)
}

// rod is the scale bar: a piece of the staff, notched, with its length in words.
func (z *sized) rod(c *canvas, x, y float64) {
	if z.scale == 0 {
		return
	}
	length := rodLength(z.scale)
	w := float64(length) * z.scale
	c.put(`<g class="rodbar"><rect class="rod" x="`, x, `" y="`, y, `" width="`, w, `" height="6"/><rect class="dk" x="`, x, `" y="`, y, `" width="`, w/2, `" height="6"/></g>`)
	c.text("", x+w+6, y+8, strconv.Itoa(length)+" mm")
}

// rodLength is the longest round length that a bar of some 100 pixels has.
func rodLength(scale float64) int {
	best := 1
	for _, mm := range []int{2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000} {
		if float64(mm)*scale <= 110 {
			best = mm
		}
	}
	return best
}
