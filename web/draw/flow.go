package draw

import (
	"strconv"
	"time"
)

// Flow is repeated places down and days across: one line for each kind of work, through
// all places. A steep line is quick work; where two lines come together the one behind
// catches up.
type Flow struct {
	Scale *Scale
	Rows  []string // the places, from the first down
	Lines []FlowLine
	AsOf  time.Time
	Today *time.Time
}

// FlowLine is one kind of work. Points are in the order of the rows.
type FlowLine struct{ Points []FlowPoint }

// FlowPoint is that work in one place.
type FlowPoint struct {
	Row           int
	Href, Tip     string
	Start, Finish time.Time
	Progress      Progress
}

// rowHeight is that of the picture of one place.
const rowHeight = 34.0

// Draw draws the flow: the work in each place as a stroke with the number of its line,
// and a thread from place to place over them.
func (f Flow) Draw() Drawing {
	field := Field{Scale: f.Scale, AsOf: f.AsOf, Today: f.Today}
	width, height := f.Scale.Width+tail, float64(len(f.Rows))*(CaptionHeight+rowHeight)
	d := Drawing{height: height}
	over := open("over", width, height, "")
	for k, line := range f.Lines {
		thread := &canvas{}
		for n := 1; n < len(line.Points); n++ {
			a, z := line.Points[n-1], line.Points[n]
			if f.Scale.Shows(earlier(a.Finish, z.Start), later(a.Finish, z.Start)) {
				thread.put(`M`, f.Scale.X(a.Finish), ` `, rowTop(a.Row)+rowHeight-4, `L`, f.Scale.X(z.Start), ` `, rowTop(z.Row)+4)
			}
		}
		over.path("fl"+strconv.Itoa(k%flowDashes), thread)
	}
	d.Over = over.close()
	for row, title := range f.Rows {
		c := open("course", width, rowHeight, title)
		for k, line := range f.Lines {
			for _, p := range line.Points {
				if p.Row == row && f.Scale.Shows(p.Start, p.Finish) {
					f.stroke(c, k, p)
				}
			}
		}
		d.Courses = append(d.Courses, DrawnCourse{Title: title, Picture: c.close()})
	}
	return field.OnDays(d)
}

// flowDashes is in how many manners threads are drawn; the numbers tell lines apart.
const flowDashes = 4

func rowTop(row int) float64 { return float64(row)*(CaptionHeight+rowHeight) + CaptionHeight }

func (f Flow) stroke(c *canvas, line int, p FlowPoint) {
	from, to := f.Scale.X(p.Start), f.Scale.X(p.Finish)
	c.link(p.Href, p.Tip)
	c.put(`<path class="fs `, progressClass[p.Progress], `" d="M`, from, ` 4L`, max(to, from+2), ` `, rowHeight-4, `"/>`)
	c.text("fn", from-9, 14, strconv.Itoa(line+1))
	c.put(`</a>`)
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
