// Package paper lays sheets out for the site hut and makes PDF files of them, black on
// white. It knows no job: it is given what stands at the head of each sheet, and blocks
// in their order. No browser is needed.
package paper

import (
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// Size is the paper: A4 upright in one column, or A3 across in two.
type Size int

// The sizes of paper.
const (
	A4 Size = iota
	A3
)

// Sizes are the names of sizes, as they are asked for.
var Sizes = map[string]Size{"": A4, "A4": A4, "A3": A3}

// Head stands on every sheet.
type Head struct {
	Job      string
	Title    string
	Standing string // as of, revision, issue
	Foot     string
}

// Lengths in mm, and the sizes of type in points.
const (
	margin    = 15.0
	gutter    = 12.0
	headRoom  = 21.0
	footRoom  = 13.0
	between   = 1.6 // blocks
	textSize  = 9.5
	titleSize = 12.5
	leading   = 4.5
)

// Write makes the file. The moment is what the file says of when it was made; the same
// blocks at the same moment are the same bytes.
func Write(w io.Writer, size Size, made time.Time, head Head, blocks []Block) error {
	p := newPress(size, made, head)
	for k, b := range blocks {
		if _, turn := b.(Turn); turn {
			p.turn()
			continue
		}
		units := b.layOut(p, p.width)
		for n, u := range units {
			p.room(u.height + p.led(blocks[k:]))
			u.draw(p.left(), p.y)
			p.y += u.height
			if n == len(units)-1 {
				p.y += between
			}
		}
	}
	if err := p.pdf.Output(w); err != nil {
		return fmt.Errorf("make the PDF: %w", err)
	}
	return nil
}

// led is the room for what the first of some blocks leads to: neither a heading nor a label
// stands alone at the foot of a sheet.
func (p *press) led(blocks []Block) float64 {
	if len(blocks) < 2 || !leads(blocks[0]) {
		return 0
	}
	next := blocks[1].layOut(p, p.width)
	if len(next) == 0 {
		return 0
	}
	return between + next[0].height + p.led(blocks[1:])
}

// leads says whether a block only says what comes after it.
func leads(b Block) bool {
	switch b := b.(type) {
	case Heading:
		return true
	case Text:
		return b.Mark == None && !slices.ContainsFunc(b.Runs, func(r Run) bool { return !r.Heavy })
	}
	return false
}

// press is the sheet that is being filled: columns from the left, then the next sheet.
type press struct {
	pdf     *fpdf.Fpdf
	columns int
	column  int
	width   float64 // of a column
	top     float64
	bottom  float64
	y       float64
}

func newPress(size Size, made time.Time, head Head) *press {
	p := &press{columns: 1}
	if size == A3 {
		p.columns = 2
		p.pdf = fpdf.New("L", "mm", "A3", "")
	} else {
		p.pdf = fpdf.New("P", "mm", "A4", "")
	}
	p.pdf.AddUTF8FontFromBytes("go", "", goregular.TTF)
	p.pdf.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	p.pdf.SetCreationDate(made)
	p.pdf.SetModificationDate(made)
	p.pdf.SetCatalogSort(true)
	p.pdf.SetTitle(head.Title+", "+head.Job, true)
	p.pdf.SetCreator("Gaugerod", true)
	p.pdf.SetLang("en-GB")
	p.pdf.SetMargins(margin, margin, margin)
	p.pdf.SetAutoPageBreak(false, 0)
	p.pdf.AliasNbPages("{n}")
	wide, high := p.pdf.GetPageSize()
	p.width = (wide - 2*margin - float64(p.columns-1)*gutter) / float64(p.columns)
	p.top, p.bottom = margin+headRoom, high-margin-footRoom
	p.pdf.SetHeaderFunc(func() { p.head(head, wide) })
	p.pdf.SetFooterFunc(func() { p.foot(head, wide, high) })
	p.pdf.AddPage()
	p.y = p.top
	return p
}

// room goes on to the next column or sheet where a unit does not fit in this one.
func (p *press) room(height float64) {
	if p.y+height <= p.bottom || p.y == p.top {
		return
	}
	p.turn()
}

// turn begins the next column or sheet.
func (p *press) turn() {
	if p.y == p.top {
		return
	}
	if p.column++; p.column == p.columns {
		p.column = 0
		p.pdf.AddPage()
	}
	p.y = p.top
}

func (p *press) left() float64 { return margin + float64(p.column)*(p.width+gutter) }

// head writes the job and what it is of, over a heavy line with a notch.
func (p *press) head(h Head, wide float64) {
	p.font(true, 15)
	p.pdf.Text(margin, margin+5, plain(h.Title))
	p.font(false, 10)
	p.pdf.Text(margin, margin+11, plain(h.Job))
	p.font(true, 9)
	standing := plain(h.Standing)
	p.pdf.Text(wide-margin-p.pdf.GetStringWidth(standing), margin+11, standing)
	p.pdf.SetLineWidth(0.7)
	p.pdf.Line(margin, margin+14, wide-margin, margin+14)
	p.pdf.Line(margin, margin+12.5, margin, margin+15.5)
}

func (p *press) foot(h Head, wide, high float64) {
	p.pdf.SetLineWidth(0.2)
	p.pdf.Line(margin, high-margin-8, wide-margin, high-margin-8)
	page := fmt.Sprintf("Sheet %d of {n}", p.pdf.PageNo())
	p.font(false, 8)
	p.pdf.Text(wide-margin-20, high-margin-4, page)
	for k, l := range p.wrap([]Run{{Text: h.Foot}}, wide-2*margin-26, 7.5) {
		p.line(l, margin, high-margin-4+float64(k)*3.4, 7.5)
	}
}

// font chooses the type.
func (p *press) font(heavy bool, size float64) {
	style := ""
	if heavy {
		style = "B"
	}
	p.pdf.SetFont("go", style, size)
}
