package draw

import (
	"html/template"
	"math"
	"strconv"
	"strings"
)

// canvas collects the text of one SVG. Whatever is not a number or a constant of
// this package goes in through text or attr, which escape it.
type canvas struct{ b []byte }

// put writes constants of this package as they are, and numbers in whole pixels.
func (c *canvas) put(parts ...any) {
	for _, p := range parts {
		switch v := p.(type) {
		case string:
			c.b = append(c.b, v...)
		case float64:
			c.b = strconv.AppendInt(c.b, int64(math.Round(v)), 10) // as fine as any of it is drawn
		case int:
			c.b = strconv.AppendInt(c.b, int64(v), 10)
		default:
			panic("draw: a part that is neither text nor a number")
		}
	}
}

// escaped writes text of people's making.
func (c *canvas) escaped(s string) { c.b = append(c.b, template.HTMLEscapeString(s)...) }

// path writes a path of a class, unless there is nothing in it.
func (c *canvas) path(class string, d *canvas) {
	if len(d.b) > 0 {
		c.put(`<path class="`, class, `" d="`, string(d.b), `"/>`)
	}
}

// text writes a line of text at a point.
func (c *canvas) text(class string, x, y float64, s string) {
	c.put(`<text`)
	if class != "" {
		c.put(` class="`, class, `"`)
	}
	c.put(` x="`, x, `" y="`, y, `">`)
	c.escaped(s)
	c.put(`</text>`)
}

// link opens a link with its words for those who cannot see the picture.
func (c *canvas) link(href, tip string) { c.linked(href, tip, "") }

// linked is a link with one more attribute.
func (c *canvas) linked(href, tip, more string) {
	c.put(`<a`, more, ` href="`)
	c.escaped(href)
	c.put(`"><title>`)
	c.escaped(tip)
	c.put(`</title>`)
}

func (c *canvas) html() template.HTML { return template.HTML(c.b) }

// open begins an SVG of a size. An empty label marks it as decoration.
func open(class string, width, height float64, label string) *canvas {
	c := &canvas{}
	c.put(`<svg class="`, class, `" width="`, width, `" height="`, height, `"`)
	if label == "" {
		c.put(` aria-hidden="true">`)
		return c
	}
	c.put(` role="group" aria-label="`)
	c.escaped(label)
	c.put(`">`)
	return c
}

// openPiece begins an SVG that shows a part of a larger drawing, in whose coordinates it is
// drawn. An empty label marks it as decoration.
func openPiece(class string, x, y, width, height float64, label string) *canvas {
	c := open(class, width, height, label)
	c.b = c.b[:len(c.b)-1]
	c.put(` viewBox="`, x, ` `, y, ` `, width, ` `, height, `">`)
	return c
}

func (c *canvas) close() template.HTML {
	c.put(`</svg>`)
	return c.html()
}

// letter and capital are the widths of a letter of the drawings' text and of the
// trades' letters, 12 px in a common face, taken on the generous side.
const (
	letter  = 6.9
	capital = 10.4
)

// cut shortens a text to a width, with an ellipsis where something is lost.
func cut(s string, width float64) string {
	most := int(width / letter)
	r := []rune(s)
	switch {
	case len(r) <= most:
		return s
	case most < 3:
		return ""
	}
	return strings.TrimRight(string(r[:most-1]), " ,.") + "…"
}

func textWidth(s string) float64 { return float64(len([]rune(s))) * letter }

func shortWidth(s string) float64 { return float64(len([]rune(s))) * capital }
