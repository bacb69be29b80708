package draw

import (
	"html/template"
	"time"
)

// Leg is one stage of an order.
type Leg struct {
	Title, Href, Tip string
	Start, Finish    time.Time
	Progress         Progress
}

// First is a gate that an order waits for before it can go out.
type First struct {
	At        time.Time
	Gate      Gate
	Href, Tip string
}

// Chain is an order, measured back from the day on which it is needed.
type Chain struct {
	Scale   *Scale
	Starts  []First
	Legs    []Leg
	Deliver time.Time
	NeedBy  time.Time
	OrderBy time.Time // zero once it is placed
	AsOf    time.Time
	Gate    Gate
	Tip     string
}

// chainHeight holds the weeks, the legs and the words under them, and lead a gate before
// the first day.
const (
	chainHeight = 74.0
	lead        = gateWidth + 4.0
)

// Draw hangs the legs end to end on a line that ends in the need-by staff.
func (o Chain) Draw(label string) template.HTML {
	c := openPiece("hung", -lead, 0, lead+o.Scale.Width+tail, chainHeight, label)
	x := o.Scale.X
	free := 0.0
	for k, d := range o.Scale.days {
		date := o.Scale.From + dayOf(k)
		if date.Weekday() != time.Monday {
			continue
		}
		c.put(`<path class="wk" d="M`, d.left, ` 14V52"/>`)
		if d.left >= free {
			c.text("", d.left+3, 11, date.Format("2 Jan"))
			free = d.left + 62
		}
	}
	c.put(`<path class="thread" d="M`, x(o.begin()), ` 34H`, max(x(o.NeedBy), x(o.Deliver)), `"/>`)
	for _, leg := range o.Legs {
		o.leg(c, leg)
	}
	c.put(`<path class="need" d="M`, x(o.NeedBy)-2, ` 16V52M`, x(o.NeedBy)+2, ` 16V52"/>`)
	c.put(`<title>`)
	c.escaped(o.Tip)
	c.put(`</title>`)
	for _, m := range o.Starts {
		if o.Scale.Shows(m.At, m.At) {
			c.link(m.Href, m.Tip)
			m.Gate.put(c, x(m.At)-gateWidth/2-2, 46) // at its end, before the first leg
			c.put(`</a>`)
		}
	}
	at := x(o.Deliver)
	if need := x(o.NeedBy); at <= need && at > need-gateWidth/2-3 {
		at = need - gateWidth/2 - 3 // beside the stop, not on it
	}
	o.Gate.put(c, max(gateWidth/2, at), 46)
	if o.Scale.Shows(o.AsOf, o.AsOf) {
		c.put(`<path class="asof" d="M`, x(o.AsOf), ` 14V60"/>`)
		c.text("asof", x(o.AsOf)+3, 70, "as of")
	}
	if !o.OrderBy.IsZero() && o.Scale.Shows(o.OrderBy, o.OrderBy) {
		c.put(`<path class="notch" d="M`, x(o.OrderBy)-5, ` 60l5-8 5 8z"/>`)
	}
	return c.close()
}

// begin is where the thread begins: the first stage's start, or the delivery.
func (o Chain) begin() time.Time {
	if len(o.Legs) == 0 {
		return o.Deliver
	}
	return o.Legs[0].Start
}

func (o Chain) leg(c *canvas, leg Leg) {
	from, to := o.Scale.X(leg.Start), o.Scale.X(leg.Finish)
	to = max(to, from+3)
	c.link(leg.Href, leg.Tip)
	c.put(`<rect class="leg `, progressClass[leg.Progress], `" x="`, from, `" y="24" width="`, to-from, `" height="20"/>`)
	if words := cut(leg.Title, to-from-6); words != "" {
		c.text("by", from+4, 38, words)
	}
	c.put(`</a>`)
}
