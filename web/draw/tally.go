package draw

import (
	"html/template"
	"time"
)

// Tally is how many of many tries ended on each day of a scale.
type Tally struct {
	Scale               *Scale
	Ends                []int // by day of the scale
	Planned, Half, Nine time.Time
}

// The parts of the picture from top to bottom, in pixels: a line for the weeks, the
// columns, and one for the words of the marks.
const (
	tallyTop    = 18.0
	tallyColumn = 90.0
	tallyHeight = tallyTop + tallyColumn + 40
	tallyTail   = 24.0 // to the right of the last day
)

// Draw draws a column for each day, and upright marks for the planned day, for the one by
// which half of the tries have ended, and, double, for nine of ten.
func (t Tally) Draw(label string) template.HTML {
	c := open("tally", t.Scale.Width+tallyTail, tallyHeight, label)
	foot := tallyTop + tallyColumn
	t.weeks(c, foot)
	most := 1
	for _, n := range t.Ends {
		most = max(most, n)
	}
	for k, n := range t.Ends {
		if n > 0 {
			d := t.Scale.days[k]
			high := max(1.5, tallyColumn*float64(n)/float64(most))
			c.put(`<path class="tries" d="M`, d.left, ` `, foot, `v`, -high, `h`, max(2, d.width), `v`, high, `z"/>`)
		}
	}
	c.put(`<path class="out" d="M0 `, foot, `H`, t.Scale.Width, `"/>`)
	t.mark(c, "asof", t.Planned, foot, 16, "planned", false)
	t.mark(c, "out", t.Half, foot, 30, "half", false)
	t.mark(c, "out", t.Nine, foot, 16, "nine in ten", true)
	return c.close()
}

// weeks writes the Mondays, so far apart that they do not touch.
func (t Tally) weeks(c *canvas, foot float64) {
	next := 0.0
	for k, d := range t.Scale.days {
		date := t.Scale.From + dayOf(k)
		if date.Weekday() != time.Monday {
			continue
		}
		c.put(`<path class="wk" d="M`, d.left, ` `, tallyTop, `V`, foot, `"/>`)
		if words := date.Format("2 Jan"); d.left >= next && d.left+textWidth(words) < t.Scale.Width+tallyTail {
			c.text("", d.left+3, tallyTop-6, words)
			next = d.left + textWidth(words) + 12
		}
	}
}

// mark draws an upright through the columns with a word under it.
func (t Tally) mark(c *canvas, class string, at time.Time, foot, down float64, word string, double bool) {
	x := t.Scale.X(at)
	c.put(`<path class="`, class, `" d="M`, x, ` `, tallyTop, `V`, foot+down-12)
	if double {
		c.put(`M`, x+4, ` `, tallyTop, `V`, foot+down-12)
	}
	c.put(`"/>`)
	c.text("", min(x+3, t.Scale.Width+tallyTail-textWidth(word)), foot+down, word)
}
