package draw

import "html/template"

// gateAt is a hold point with the edge between two layers that it stands on.
type gateAt struct {
	*GateMark
	edge float64
}

// gates is all hold points, from the first edge on, and the lanes they stand in.
func (z *sized) gates(apart float64) (all []gateAt, lane []int, n int) {
	if z.Plain {
		return nil, nil, 0
	}
	var at []float64
	for k := range z.Layers {
		for g := range z.Layers[k].Gates {
			all = append(all, gateAt{&z.Layers[k].Gates[g], z.edges[k+1]})
			at = append(at, z.edges[k+1])
		}
	}
	lane, n = lanes(at, apart)
	return all, lane, n
}

func (g *gateAt) draw(c *canvas, x, y float64) {
	c.link(g.Href, g.Tip)
	c.put(`<rect class="hit" x="`, x-12, `" y="`, y-21, `" width="24" height="24"/>`)
	g.Gate.put(c, x, y)
	c.put(`</a>`)
}

// middles is the middle of each layer, moved by some way.
func (z *sized) middles(from float64) []float64 {
	all := make([]float64, len(z.widths))
	for k, w := range z.widths {
		all[k] = from + z.edges[k] + w/2
	}
	return all
}

// across draws layers side by side: gates above the edges they guard, numbers below.
func (z *sized) across() template.HTML {
	n := len(z.Layers)
	total := z.edges[n]
	width := max(total, signPitch*float64(n), textWidth(z.First)+textWidth(z.Last)+30, 120) + 16
	gates, lane, rows := z.gates(gatePitch)
	left, top := (width-total)/2, 6+float64(rows)*gatePitch
	bottom := top + cutLength
	numbers, deep := bottom+26, 46.0
	if z.Plain {
		deep = 10
	}
	ends := numbers + deep + 14
	height := ends + 6
	if z.scale > 0 {
		height += 20
	}
	c := open("section", width, height, z.Label)
	for k := range gates {
		x := left + gates[k].edge
		c.put(`<path class="guard" d="M`, x, ` `, top-gatePitch*float64(lane[k])-2, `V`, bottom, `"/>`)
	}
	for k, w := range z.widths {
		z.stone(c, k, left+z.edges[k], top, w, cutLength)
	}
	for k := range gates {
		gates[k].draw(c, left+gates[k].edge, top-gatePitch*float64(lane[k])-3)
	}
	middles := z.middles(left)
	at := spread(middles, signPitch, 8+signPitch/2, width-8-signPitch/2)
	for k := range z.Layers {
		c.put(`<path class="lead" d="M`, middles[k], ` `, bottom, `L`, at[k], ` `, numbers-12, `"/>`)
		z.mark(c, k, at[k], numbers)
	}
	c.text("side", 8, ends, z.First)
	c.text("side last", width-8, ends, z.Last)
	z.rod(c, 8, ends+12)
	return c.close()
}

// stacked draws layers one on another: gates at the left, numbers at the right.
func (z *sized) stacked() template.HTML {
	n := len(z.Layers)
	total := z.edges[n]
	gates, lane, cols := z.gates(gatePitch)
	tall := max(total, signRow*float64(n))
	left := 8 + float64(cols)*gatePitch
	right := left + cutLength
	width := right + 24 + 92
	if z.Plain {
		width = right + 24 + 22
	}
	top := 24.0
	if len(gates) > 0 {
		top += 6
	}
	height := top + tall + 26
	if z.scale > 0 {
		height += 20
	}
	upper, lower := z.First, z.Last
	place := func(along float64) float64 { return top + (tall-total)/2 + along } // of a point along the layers
	if z.Lie == Upwards {
		upper, lower = z.Last, z.First
		place = func(along float64) float64 { return top + (tall+total)/2 - along }
	}
	c := open("section", width, height, z.Label)
	c.text("side", left, 14, upper)
	for k := range gates {
		y := place(gates[k].edge)
		c.put(`<path class="guard" d="M`, left-gatePitch*float64(lane[k]+1), ` `, y, `H`, right, `"/>`)
	}
	for k, w := range z.widths {
		z.stone(c, k, left, min(place(z.edges[k]), place(z.edges[k+1])), cutLength, w)
	}
	for k := range gates {
		gates[k].draw(c, left-gatePitch*float64(lane[k])-gatePitch/2, place(gates[k].edge)-1)
	}
	z.beside(c, place, right, top, tall)
	foot := top + tall + 18
	c.text("side", left, foot, lower)
	z.rod(c, left, foot+10)
	return c.close()
}

// beside writes the numbers of stacked layers at their right.
func (z *sized) beside(c *canvas, place func(float64) float64, right, top, tall float64) {
	n := len(z.Layers)
	order := make([]int, n) // from the top down
	for k := range order {
		order[k] = k
		if z.Lie == Upwards {
			order[k] = n - 1 - k
		}
	}
	middles := make([]float64, n)
	for k, l := range order {
		middles[k] = (place(z.edges[l]) + place(z.edges[l+1])) / 2
	}
	at := spread(middles, signRow, top+signRow/2, top+tall-signRow/2)
	for k, l := range order {
		c.put(`<path class="lead" d="M`, right, ` `, middles[k], `L`, right+18, ` `, at[k], `"/>`)
		z.mark(c, l, right+30, at[k])
	}
}
