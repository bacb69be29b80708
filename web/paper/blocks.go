package paper

// Block is a piece of a sheet.
type Block interface {
	layOut(p *press, width float64) []unit
}

// unit is what stays together on one sheet.
type unit struct {
	height float64
	draw   func(x, y float64)
}

// Turn goes on at the top of the next column or sheet.
type Turn struct{}

func (Turn) layOut(*press, float64) []unit { return nil }

// Heading begins a part.
type Heading struct{ Text string }

func (h Heading) layOut(p *press, width float64) []unit {
	lines := p.wrap([]Run{{h.Text, true}}, width-4, titleSize)
	const step = 5.4
	return []unit{{4 + step*float64(len(lines)), func(x, y float64) {
		p.pdf.SetLineWidth(0.7)
		p.pdf.Line(x, y+5.2, x+2.6, y+5.2)
		for k, l := range lines {
			p.line(l, x+4, y+6.6+step*float64(k), titleSize)
		}
	}}}
}

// Mark is what stands beside a text.
type Mark int

// The marks. Grave is a double rule, Box an empty square to tick, Gate a small gate.
const (
	None Mark = iota
	Grave
	Box
	Gate
)

// Text is a paragraph.
type Text struct {
	Mark Mark
	Runs []Run
}

const indent = 6.0 // of a text with a mark

func (t Text) layOut(p *press, width float64) []unit {
	in := 0.0
	if t.Mark != None {
		in = indent
	}
	lines := p.wrap(t.Runs, width-in, textSize)
	var units []unit
	for len(lines) > 0 {
		// A paragraph of up to eight lines stays whole.
		n := min(len(lines), 8)
		part, first, height := lines[:n], units == nil, leading*float64(n)
		units = append(units, unit{height, func(x, y float64) {
			p.mark(t.Mark, first, x, y, height)
			for k, l := range part {
				p.line(l, x+in, y+3.5+leading*float64(k), textSize)
			}
		}})
		lines = lines[n:]
	}
	return units
}

func (p *press) mark(m Mark, first bool, x, y, height float64) {
	switch {
	case m == Grave:
		p.pdf.SetLineWidth(0.5)
		p.pdf.Line(x+1, y+0.3, x+1, y+height-0.3)
		p.pdf.Line(x+2.4, y+0.3, x+2.4, y+height-0.3)
	case m == Box && first:
		p.pdf.SetLineWidth(0.3)
		p.pdf.Rect(x+0.6, y+0.7, 3.2, 3.2, "D")
	case m == Gate && first:
		p.gate(x+0.4, y+0.6, 4, 3.4)
	}
}

// gate draws a gate that is shut: two posts and three rails, with a brace.
func (p *press) gate(x, y, w, h float64) {
	p.pdf.SetLineWidth(0.55)
	p.pdf.Line(x, y, x, y+h)
	p.pdf.Line(x+w, y, x+w, y+h)
	p.pdf.SetLineWidth(0.3)
	for _, at := range []float64{0.2, 0.5, 0.8} {
		p.pdf.Line(x, y+h*at, x+w, y+h*at)
	}
	p.pdf.Line(x, y+h*0.8, x+w, y+h*0.2)
}

// Row is a text with its day before it.
type Row struct {
	Day  []Run
	Text []Run
	Late bool
}

const dayWidth = 31.0

func (r Row) layOut(p *press, width float64) []unit {
	day, text := p.wrap(r.Day, dayWidth-4, textSize), p.wrap(r.Text, width-dayWidth, textSize)
	height := leading * float64(max(len(day), len(text)))
	return []unit{{height + 0.8, func(x, y float64) {
		p.pdf.SetLineWidth(0.15)
		p.pdf.Line(x, y-0.4, x+width, y-0.4)
		if r.Late {
			p.mark(Grave, true, x+dayWidth-4, y, height)
		}
		for k, l := range day {
			p.line(l, x, y+3.5+leading*float64(k), textSize)
		}
		for k, l := range text {
			p.line(l, x+dayWidth, y+3.5+leading*float64(k), textSize)
		}
	}}}
}

// Sign is a gate with room for the one who releases it.
type Sign struct {
	Title string
	Says  []Run
	Done  bool // it is released already
}

func (s Sign) layOut(p *press, width float64) []unit {
	const in, lineRoom = 15.0, 11.0
	title, says := p.wrap([]Run{{s.Title, true}}, width-in-3, 10.5), p.wrap(s.Says, width-in-3, textSize)
	height := 4 + 5*float64(len(title)) + leading*float64(len(says))
	if !s.Done {
		height += lineRoom
	}
	return []unit{{height + 1, func(x, y float64) {
		p.pdf.SetLineWidth(0.4)
		p.pdf.Rect(x, y, width, height, "D")
		p.gate(x+3, y+3, 8, 7)
		at := y + 5.6
		for _, l := range title {
			p.line(l, x+in, at, 10.5)
			at += 5
		}
		for _, l := range says {
			p.line(l, x+in, at, textSize)
			at += leading
		}
		if !s.Done {
			p.blanks(x+in, y+height-3, width-in-4, "Name", "Day", "Signature")
		}
	}}}
}

// blanks are lines to write on.
func (p *press) blanks(x, y, width float64, names ...string) {
	each := width / float64(len(names))
	p.pdf.SetLineWidth(0.2)
	for k, name := range names {
		from := x + each*float64(k)
		p.font(false, 8)
		p.pdf.Text(from, y, name)
		p.pdf.Line(from+p.pdf.GetStringWidth(name)+1.5, y+0.4, from+each-3, y+0.4)
	}
}

// Code is a code to photograph, true where it is dark, with words beside it.
type Code struct {
	Dark [][]bool
	Says []Run
}

func (c Code) layOut(p *press, width float64) []unit {
	const side = 46.0
	says := p.wrap(c.Says, width-side-4, textSize)
	return []unit{{max(side, leading*float64(len(says))), func(x, y float64) {
		cell := side / float64(max(1, len(c.Dark)))
		for row, dark := range c.Dark {
			for col := 0; col < len(dark); col++ {
				from := col
				for col < len(dark) && dark[col] {
					col++
				}
				if col > from {
					p.pdf.Rect(x+cell*float64(from), y+cell*float64(row), cell*float64(col-from), cell, "F")
				}
			}
		}
		for k, l := range says {
			p.line(l, x+side+4, y+8+leading*float64(k), textSize)
		}
	}}}
}
