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

// staff draws the weeks of a column as the marks of a gauge rod: every second week dark, a
// notch for each day of work, the Monday written over it; where there is room every day is
// written, with a notch for each hour. Which Mondays have room for their words is the same
// whichever column is drawn: words go on from one column in the next.
func (p *Picture) staff(from, to float64, today *time.Time) template.HTML {
	s := p.scale
	c := openPiece("staff", from, 0, to-from, staffHeight, "Days, each week marked with its Monday")
	free := 0.0
	notches, dark := &canvas{}, &canvas{}
	for k, d := range s.days {
		if d.left >= to {
			break
		}
		date := s.From + dayOf(k)
		monday := date.Weekday() == time.Monday
		if monday && d.left >= free && !s.hourly() {
			words := date.Format("2 Jan")
			free = d.left + textWidth(words) + 10
			if free > from {
				c.text("", d.left+4, staffTop-5, words)
			}
		}
		if d.left+d.width <= from {
			continue
		}
		if (monday || d.left <= from) && (int(date)+3)/7%2 == 0 {
			dark.put(`M`, d.left, ` `, staffTop, `H`, s.weekEnd(k), `V`, staffFoot, `H`, d.left, `z`)
		}
		switch {
		case s.hourly():
			s.hours(c, notches, k)
		case monday:
			notches.put(`M`, d.left, ` `, staffFoot, `V`, staffTop-6)
		case d.Works:
			notches.put(`M`, d.left, ` `, staffFoot, `v-5`)
		}
	}
	c.path("dk", dark)
	c.path("nt", notches)
	c.put(`<path class="rod" d="M`, from, ` `, staffTop, `H`, min(to, s.Width), `V`, staffFoot, `H`, from, `"/>`)
	past := p.flag(c, p.asOf, "asof", "as of ", 0, from, to)
	if today != nil {
		p.flag(c, *today, "today", "today ", past, from, to)
	}
	return c.close()
}

// hourly says whether a day is wide enough for its hours.
func (s *Scale) hourly() bool { return s.wide >= 300 }

// hours marks a day and its hours on the staff.
func (s *Scale) hours(c, notches *canvas, k int) {
	d := s.days[k]
	notches.put(`M`, d.left, ` `, staffFoot, `V`, staffTop-6)
	c.text("", d.left+4, staffTop-5, (s.From + dayOf(k)).Format(map[bool]string{true: "Mon 2 Jan", false: "Mon"}[d.Works]))
	if !d.Works {
		return
	}
	o := d.Open
	for t := time.Date(o.Year(), o.Month(), o.Day(), o.Hour()+1, 0, 0, 0, o.Location()); t.Before(d.Shut); t = t.Add(time.Hour) {
		x := s.X(t)
		notches.put(`M`, x, ` `, staffFoot, `v-8`)
		c.text("hr", x+3, staffFoot-4, t.Format("15"))
	}
}

// weekEnd is where the week in which day k lies ends.
func (s *Scale) weekEnd(k int) float64 {
	for k++; k < len(s.days); k++ {
		if (s.From + dayOf(k)).Weekday() == time.Monday {
			return s.days[k].left
		}
	}
	return s.Width
}

// flag marks a day under the staff, its words no further left than free, and says where
// they end. Words that begin in one column go on in the next.
func (p *Picture) flag(c *canvas, t time.Time, class, words string, free, from, to float64) float64 {
	if !p.scale.Shows(t, t) {
		return free
	}
	words += t.Format("Mon 2 Jan")
	x := p.scale.X(t)
	free = max(free, x+5)
	end := free + shortWidth(words)*0.9 + 6
	if x > to+2 || end < from {
		return end
	}
	c.put(`<path class="`, class, ` fl" d="M`, x, ` `, staffTop, `V`, staffHeight, `"/>`)
	c.text(class, free, staffHeight-6, words)
	return end
}
