package paper

import (
	"strings"
	"unicode"
)

// Run is words of one weight.
type Run struct {
	Text  string
	Heavy bool
}

// word is what is never broken, with the room before it.
type word struct {
	Run
	glued bool // nothing before it: a full stop after heavy words
	x     float64
}

// wrap breaks words into lines of a width.
func (p *press) wrap(runs []Run, width, size float64) [][]word {
	p.font(false, size)
	space := p.pdf.GetStringWidth(" ")
	var lines [][]word
	var line []word
	x := 0.0
	for _, w := range words(runs) {
		p.font(w.Heavy, size)
		wide := p.pdf.GetStringWidth(w.Text)
		gap := space
		if len(line) == 0 || w.glued {
			gap = 0
		}
		if len(line) > 0 && x+gap+wide > width && (!w.glued || len(w.Text) > 3) {
			lines, line, x, gap = append(lines, line), nil, 0, 0
		}
		for wide > width { // a word longer than the line is cut
			cut := p.most(w.Text, width)
			lines = append(lines, append(line, word{Run: Run{w.Text[:cut], w.Heavy}}))
			w.Text, line, x, gap = w.Text[cut:], nil, 0, 0
			wide = p.pdf.GetStringWidth(w.Text)
		}
		w.x = x + gap
		line = append(line, w)
		x = w.x + wide
	}
	if len(line) > 0 {
		lines = append(lines, line)
	}
	return lines
}

// most is how many bytes of a text fit into a width, one letter at least.
func (p *press) most(text string, width float64) int {
	last := 0
	for k := range text {
		if k > 0 && (last == 0 || p.pdf.GetStringWidth(text[:k]) <= width) {
			last = k
		}
	}
	if last == 0 {
		return len(text)
	}
	return last
}

func words(runs []Run) []word {
	var all []word
	ended := true // the run before ended with room
	for _, r := range runs {
		text := plain(r.Text)
		begins := strings.HasPrefix(text, " ")
		for k, w := range strings.Fields(text) {
			all = append(all, word{Run: Run{w, r.Heavy}, glued: k == 0 && !begins && !ended && len(all) > 0})
		}
		if text != "" {
			ended = strings.HasSuffix(text, " ")
		}
	}
	return all
}

// line writes one line at a base line.
func (p *press) line(l []word, x, y, size float64) {
	for _, w := range l {
		p.font(w.Heavy, size)
		p.pdf.Text(x+w.x, y, w.Text)
	}
}

// plain is a text as the type can write it: signs it has no room for are squares.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r):
			return -1
		case r > 0xFFFF:
			return '□'
		}
		return r
	}, text)
}
