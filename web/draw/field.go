package draw

import (
	"html/template"
	"time"
)

// Progress is how far a block of work has come.
type Progress int

// The states of blocks.
const (
	Waits Progress = iota
	Ready
	Underway
	Done
)

var progressClass = [...]string{Waits: "kw", Ready: "kr", Underway: "ku", Done: "kd"}

// Block is one task laid on a course.
type Block struct {
	Key           string // its name in the driving chain
	Href, Tip     string
	Short, Label  string // the trade's letters; words beside or in it
	Hatch         int
	Start, Finish time.Time
	Progress      Progress
}

// Visit is what one trade does in one go at a place, with the band in which the
// place is that trade's. Without a band From and Until are zero.
type Visit struct {
	From, Until time.Time
	Blocks      []Block
	Agreed      []Agreed
}

// Agreed is when a visit was promised for. It is drawn thin under the visit, and in
// words where the visit itself does not lie on the scale.
type Agreed struct {
	From, Until time.Time
	Words       string
}

// Mark is a hold point on a course.
type Mark struct {
	Key, Href, Tip, Label string
	At                    time.Time
	Gate                  Gate
}

// Course is one place and what happens in it.
type Course struct {
	Title, Href string
	Depth       int // how deep the place lies in its tree
	Visits      []Visit
	Marks       []Mark
	Spans       []Span
}

// Span is a time that is measured and said in words: a time away, or one in which
// somebody is booked twice.
type Span struct {
	From, Until time.Time
	Words       string
	Twice       bool
}

// Field is places over time.
type Field struct {
	Scale   *Scale
	Courses []Course
	Chain   []string // keys of the blocks and marks that drive the finish, in order
	AsOf    time.Time
	Today   *time.Time // drawn apart from AsOf where it is given
	Labels  bool       // words beside blocks and gates, not letters alone
}

// Drawing is a field drawn: the staff of time, the lines that lie under the
// courses, the courses, and the mason's line that lies over them. All have the
// same width; a course is CaptionHeight of caption, then its picture.
type Drawing struct {
	Staff, Under, Over template.HTML
	Courses            []DrawnCourse
	height             float64
}

// DrawnCourse is one place, drawn.
type DrawnCourse struct {
	Title, Href string
	Depth       int
	Picture     template.HTML
}

// Heights of the field, in pixels. The style sheet keeps captions to theirs.
const (
	CaptionHeight = 26.0
	laneHeight    = 34.0
	blockTop      = 4.0
	blockHeight   = 22.0
	groundLine    = blockTop + blockHeight
	chainLine     = groundLine + 2.5
	agreedLine    = groundLine + 6
	courseFoot    = 8.0
	tail          = 80.0 // room to the right of the last day for its words
)

// Draw draws the field.
func (f Field) Draw() Drawing {
	width := f.Scale.Width + tail
	var d Drawing
	at := map[string]spot{}
	top := 0.0
	for _, course := range f.Courses {
		l := f.layOut(course)
		top += CaptionHeight
		for key, s := range l.spots {
			if _, known := at[key]; !known {
				s.y += top
				at[key] = s
			}
		}
		d.Courses = append(d.Courses, DrawnCourse{course.Title, course.Href, course.Depth, l.draw(width, course.Title)})
		top += l.height()
	}
	d.Over = f.line(width, top, at)
	d.height = top
	return f.OnDays(d)
}

// OnDays is a drawing of the field with its days drawn anew, as they are today.
func (f Field) OnDays(d Drawing) Drawing {
	width := f.Scale.Width + tail
	d.Staff = f.staff(width)
	d.Under = f.under(width, d.height)
	return d
}

// under draws what lies behind all courses: the weeks and the as-of day.
func (f Field) under(width, height float64) template.HTML {
	c := open("under", width, height, "")
	weeks := &canvas{}
	for k, d := range f.Scale.days {
		if (f.Scale.From + dayOf(k)).Weekday() == time.Monday {
			weeks.put(`M`, d.left, ` 0V`, height)
		}
	}
	c.path("wk", weeks)
	if f.Scale.Shows(f.AsOf, f.AsOf) {
		x := f.Scale.X(f.AsOf)
		c.put(`<path class="past" d="M0 0H`, x, `V`, height, `H0z"/>`)
		c.put(`<path class="asof" d="M`, x, ` 0V`, height, `"/>`)
	}
	if f.Today != nil && f.Scale.Shows(*f.Today, *f.Today) {
		c.put(`<path class="today" d="M`, f.Scale.X(*f.Today), ` 0V`, height, `"/>`)
	}
	return c.close()
}

// spot is where a block or a mark was drawn: its line and its two ends.
type spot struct {
	y, from, to float64
	shown       bool
}

// line draws the driving chain as one mason's line: along the foot of each of
// its blocks, and straight up or down to the next where the one hands over.
func (f Field) line(width, height float64, at map[string]spot) template.HTML {
	c := open("over", width, height, "")
	path := &canvas{}
	begun := false
	knots := &canvas{}
	for _, key := range f.Chain {
		s, ok := at[key]
		if !ok || !s.shown {
			continue
		}
		if !begun {
			path.put(`M`, s.from, ` `, s.y)
			begun = true
		} else {
			path.put(`V`, s.y, `H`, s.from)
		}
		path.put(`H`, s.to)
		knots.put(`<circle cx="`, s.from, `" cy="`, s.y, `" r="3"/>`)
	}
	if begun {
		d := string(path.b)
		c.put(`<path class="halo" d="`, d, `"/><path class="line" d="`, d, `"/><g class="knot">`, string(knots.b), `</g>`)
	}
	return c.close()
}
