package draw

import (
	"html/template"
	"time"

	"gaugerod/scheduler/worktime"
)

// The heights of the staff along the top of a field.
const (
	staffHeight = 54.0
	staffTop    = 18.0
	staffFoot   = 34.0
)

func dayOf(k int) worktime.Date { return worktime.Date(k) }

// staff draws the weeks as the marks of a gauge rod: every second week dark, a
// notch for each day of work, the Monday written over it.
func (f Field) staff(width float64) template.HTML {
	c := open("staff", width, staffHeight, "Weeks, each marked with its Monday")
	s := f.Scale
	free := 0.0
	notches, dark := &canvas{}, &canvas{}
	for k, d := range s.days {
		date := s.From + dayOf(k)
		if date.Weekday() != time.Monday {
			if d.Works {
				notches.put(`M`, d.left, ` `, staffFoot, `v-5`)
			}
			continue
		}
		if (int(date)+3)/7%2 == 0 {
			dark.put(`M`, d.left, ` `, staffTop, `H`, s.weekEnd(k), `V`, staffFoot, `H`, d.left, `z`)
		}
		notches.put(`M`, d.left, ` `, staffFoot, `V`, staffTop-6)
		if words := date.Format("2 Jan"); d.left >= free {
			c.text("", d.left+4, staffTop-5, words)
			free = d.left + textWidth(words) + 10
		}
	}
	c.path("dk", dark)
	c.path("nt", notches)
	c.put(`<path class="rod" d="M0 `, staffTop, `H`, s.Width, `V`, staffFoot, `H0z"/>`)
	past := f.flag(c, f.AsOf, "asof", "as of "+f.AsOf.Format("Mon 2 Jan"), 0)
	if f.Today != nil {
		f.flag(c, *f.Today, "today", "today "+f.Today.Format("Mon 2 Jan"), past)
	}
	return c.close()
}

// weekEnd is where the week that begins with day k ends.
func (s *Scale) weekEnd(k int) float64 {
	if k+7 < len(s.days) {
		return s.days[k+7].left
	}
	return s.Width
}

// flag marks a day under the staff, its words no further left than from, and says
// where they end.
func (f Field) flag(c *canvas, t time.Time, class, words string, from float64) float64 {
	if !f.Scale.Shows(t, t) {
		return from
	}
	x := f.Scale.X(t)
	c.put(`<path class="`, class, ` fl" d="M`, x, ` `, staffTop, `V`, staffHeight, `"/>`)
	from = max(from, x+5)
	c.text(class, from, staffHeight-6, words)
	return from + shortWidth(words)*0.9 + 6
}
