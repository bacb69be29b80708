package draw

import "time"

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
	Was           *Stretch // when it was issued for, where that is elsewhere
}

// Stretch is a run of time.
type Stretch struct{ From, Until time.Time }

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
	Was                   *Stretch
}

// Course is one place and what happens in it.
type Course struct {
	Title  string
	Depth  int // how deep the place lies in its tree
	Visits []Visit
	Marks  []Mark
	Spans  []Span
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
	Labels  bool // words beside blocks and gates, not letters alone
}

// Heights within a course, in pixels.
const (
	laneHeight  = 34.0
	blockTop    = 4.0
	blockHeight = 22.0
	groundLine  = blockTop + blockHeight
	chainLine   = groundLine + 2.5
	agreedLine  = groundLine + 6
	wasLine     = 1.0
	courseFoot  = 8.0
)

// LayOut lays the field out. What lies on two courses is joined by lines where it lies first.
func (f Field) LayOut() *Picture {
	p := &Picture{scale: f.Scale, asOf: f.AsOf, spots: map[string]spot{}}
	top := 0.0
	for _, course := range f.Courses {
		l := f.layOut(course)
		top += CaptionHeight
		for key, s := range l.spots {
			if _, known := p.spots[key]; !known {
				s.y += top
				p.spots[key] = s
			}
		}
		l.spots = nil
		for k := range l.blocks {
			l.blocks[k].visit.Blocks = nil // they are laid
		}
		p.rows = append(p.rows, row{title: course.Title, depth: course.Depth, body: l})
		top += l.height()
	}
	if line, ok := p.chain(f.Chain); ok {
		p.over = append(p.over, line)
	}
	p.stack()
	return p
}
