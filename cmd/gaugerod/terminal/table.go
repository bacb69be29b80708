package terminal

import "strings"

// Column is one column of a table.
type Column struct {
	Head  string
	Least int  // it may be wrapped down to this width; 0: it is never wrapped
	Right bool // figures stand to the right
}

// Cell is a text in a table.
type Cell struct {
	Text string
	Ink  Ink
}

// Row is one row of cells, as many as there are columns.
type Row []Cell

// Cells makes a row of plain texts.
func Cells(texts ...string) Row {
	row := make(Row, len(texts))
	for k, t := range texts {
		row[k].Text = t
	}
	return row
}

const between = "  "

// Table writes rows below their heads. Where the paper is too narrow even with all
// columns wrapped, each row is written as a few lines "head: text". Columns in which
// nothing stands are left out.
func (p *Paper) Table(columns []Column, rows []Row) {
	columns, rows = drop(columns, rows)
	if len(rows) == 0 {
		return
	}
	widths, fits := fit(columns, rows, p.width)
	if !fits {
		p.stack(columns, rows)
		return
	}
	head := make(Row, len(columns))
	for k, c := range columns {
		head[k] = Cell{c.Head, Faint}
	}
	p.row(columns, widths, head)
	tall := false
	for _, row := range rows {
		if tall {
			p.Blank() // else nobody sees where the next row starts
		}
		tall = p.row(columns, widths, row) > 2
	}
}

// row writes one row and returns how many lines it took.
func (p *Paper) row(columns []Column, widths []int, row Row) int {
	cells := make([][]string, len(row))
	height := 0
	for k, cell := range row {
		cells[k] = Wrap(cell.Text, widths[k])
		height = max(height, len(cells[k]))
	}
	for n := range height {
		var b strings.Builder
		for k := range cells {
			if k > 0 {
				b.WriteString(between)
			}
			s := ""
			if n < len(cells[k]) {
				s = cells[k][n]
			}
			pad := strings.Repeat(" ", max(0, widths[k]-Width(s)))
			s = p.ink(row[k].Ink, s)
			if columns[k].Right {
				s = pad + s
			} else {
				s += pad
			}
			b.WriteString(s)
		}
		p.write(strings.TrimRight(b.String(), " ") + "\n")
	}
	return height
}

// stack writes each row as lines of its own, for narrow paper.
func (p *Paper) stack(columns []Column, rows []Row) {
	for n, row := range rows {
		if n > 0 {
			p.Blank()
		}
		for k, cell := range row {
			if cell.Text != "" {
				p.Inked(cell.Ink, "  "+columns[k].Head+": ", cell.Text)
			}
		}
	}
}

func drop(columns []Column, rows []Row) ([]Column, []Row) {
	var kept []int
	for k := range columns {
		for _, row := range rows {
			if row[k].Text != "" {
				kept = append(kept, k)
				break
			}
		}
	}
	if len(kept) == len(columns) {
		return columns, rows
	}
	some := make([]Column, len(kept))
	for n, k := range kept {
		some[n] = columns[k]
	}
	left := make([]Row, len(rows))
	for r, row := range rows {
		left[r] = make(Row, len(kept))
		for n, k := range kept {
			left[r][n] = row[k]
		}
	}
	return some, left
}

// fit finds the width of each column so that all stand side by side: as wide as
// their texts, and while that is too much, the widest of those that may be wrapped
// gives way, down to its least or to its longest word.
func fit(columns []Column, rows []Row, width int) ([]int, bool) {
	widths, least := make([]int, len(columns)), make([]int, len(columns))
	total := len(between) * (len(columns) - 1)
	for k, c := range columns {
		widths[k] = Width(c.Head)
		least[k] = c.Least
		for word := range strings.FieldsSeq(c.Head) {
			least[k] = max(least[k], Width(word))
		}
		for _, row := range rows {
			for line := range strings.SplitSeq(row[k].Text, "\n") {
				widths[k] = max(widths[k], Width(line))
			}
			for word := range strings.FieldsSeq(row[k].Text) {
				least[k] = max(least[k], min(Width(word), longWord))
			}
		}
		total += widths[k]
	}
	for ; total > width; total-- {
		widest := -1
		for k, c := range columns {
			if c.Least > 0 && widths[k] > least[k] && (widest < 0 || widths[k] > widths[widest]) {
				widest = k
			}
		}
		if widest < 0 {
			return nil, false
		}
		widths[widest]--
	}
	return widths, true
}

// longWord is the width from which on a word may be broken.
const longWord = 12
