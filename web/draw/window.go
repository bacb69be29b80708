package draw

import (
	"html/template"
	"time"
)

// Window is the four days of one visit, drawn as a length of staff.
type Window struct {
	Scale                                       *Scale
	Earliest, From, Until, OutForOthers, OutDue time.Time
	Hatch                                       int
	Short                                       string
	AsOf                                        time.Time
}

// windowHeight leaves a line for the weeks above and one for the marks below.
const windowHeight = 66.0

// Draw draws the visit: the time in which it may be in as a pale band, the
// planned days as a hatched block, and the two days to be out as stops, the
// nearer one single and the one that the due days set double.
func (w Window) Draw(label string) template.HTML {
	c := open("window", w.Scale.Width+tail/2, windowHeight, label)
	for k, d := range w.Scale.days {
		if date := w.Scale.From + dayOf(k); date.Weekday() == time.Monday {
			c.put(`<path class="wk" d="M`, d.left, ` 14V52"/>`)
			if d.left+44 < w.Scale.Width+tail/2 && (k/7)%w.every() == 0 {
				c.text("", d.left+3, 11, date.Format("2 Jan"))
			}
		}
	}
	x := w.Scale.X
	c.put(`<path class="band" d="M`, x(w.Earliest), ` 18H`, x(w.OutDue), `V48H`, x(w.Earliest), `z"/>`)
	block(c, "kw", x(w.From), 22, max(4, x(w.Until)-x(w.From)), 22, w.Hatch, w.short())
	c.put(`<path class="in" d="M`, x(w.Earliest)+1, ` 16V50"/>`)
	c.put(`<path class="out" d="M`, x(w.OutForOthers), ` 16V50"/>`)
	c.put(`<path class="out" d="M`, x(w.OutDue)-2, ` 16V50M`, x(w.OutDue)+2, ` 16V50"/>`)
	if w.Scale.Shows(w.AsOf, w.AsOf) {
		c.put(`<path class="asof" d="M`, x(w.AsOf), ` 14V52"/>`)
		c.text("asof", x(w.AsOf)+3, 63, "as of")
	}
	return c.close()
}

// every is how many weeks apart the dates are written, so that they do not touch.
func (w Window) every() int {
	n := 1
	for float64(n)*7*w.Scale.Width/float64(w.Scale.Days()) < 52 {
		n++
	}
	return n
}

func (w Window) short() string {
	if w.Scale.X(w.Until)-w.Scale.X(w.From) < shortWidth(w.Short)+14 {
		return ""
	}
	return w.Short
}
