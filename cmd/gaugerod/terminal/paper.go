// Package terminal writes headings, sentences and tables to a terminal: wrapped to
// its width, with wide characters counted as they show, and with colour only as an
// extra: nothing is told by colour alone.
package terminal

import (
	"io"
	"os"
	"strings"

	"github.com/jedib0t/go-pretty/v6/text"
	"golang.org/x/sys/unix"
)

// Paper is what is written on. The first error of writing is kept and ends the rest.
type Paper struct {
	w      io.Writer
	width  int
	colour bool
	err    error
}

// NarrowWidth is the least width that lines are wrapped to, and PlainWidth the one
// used where nothing tells the width.
const (
	NarrowWidth = 40
	PlainWidth  = 100
)

// New is paper of a width in columns.
func New(w io.Writer, width int, colour bool) *Paper {
	return &Paper{w: w, width: max(width, NarrowWidth), colour: colour}
}

// Size is the width of the terminal behind f, and false where there is none.
func Size(f *os.File) (width int, ok bool) {
	size, err := unix.IoctlGetWinsize(int(f.Fd()), unix.TIOCGWINSZ)
	if err != nil || size.Col == 0 {
		return PlainWidth, err == nil
	}
	return int(size.Col), true
}

// Err is the first error of writing.
func (p *Paper) Err() error { return p.err }

// Width is how many columns there are.
func (p *Paper) Width() int { return p.width }

// Ink is a colour or weight laid over words that say the same without it.
type Ink string

// The inks: escape sequences of ECMA-48, section 8.3.117.
const (
	NoInk  Ink = ""
	Bold   Ink = "\x1b[1m"
	Faint  Ink = "\x1b[2m"
	Red    Ink = "\x1b[31m"
	Yellow Ink = "\x1b[33m"
	Green  Ink = "\x1b[32m"
)

func (p *Paper) ink(i Ink, s string) string {
	if !p.colour || i == NoInk || s == "" {
		return s
	}
	return string(i) + s + "\x1b[0m"
}

func (p *Paper) write(s string) {
	if p.err == nil {
		_, p.err = io.WriteString(p.w, s)
	}
}

// Blank leaves a line empty.
func (p *Paper) Blank() { p.write("\n") }

// Title is the first line of a page, with a rule below.
func (p *Paper) Title(s string) {
	for _, line := range Wrap(s, p.width) {
		p.write(p.ink(Bold, line) + "\n")
	}
	p.write(strings.Repeat("=", min(Width(s), p.width)) + "\n")
}

// Heading opens a section, after a blank line.
func (p *Paper) Heading(s string) {
	p.Blank()
	for _, line := range Wrap(s, p.width) {
		p.write(p.ink(Bold, line) + "\n")
	}
	p.write(strings.Repeat("-", min(Width(s), p.width)) + "\n")
}

// Line writes a sentence after a lead ("  - "); where it wraps, it goes on below
// its own start.
func (p *Paper) Line(lead, s string) { p.Inked(NoInk, lead, s) }

// Inked is Line with an ink.
func (p *Paper) Inked(ink Ink, lead, s string) {
	indent := strings.Repeat(" ", Width(lead))
	for k, line := range Wrap(s, p.width-len(indent)) {
		if k > 0 {
			lead = indent
		}
		p.write(strings.TrimRight(lead+p.ink(ink, line), " ") + "\n")
	}
}

// Width is how many columns a text takes: two for wide characters, none for
// combining ones.
func Width(s string) int { return text.StringWidthWithoutEscSequences(s) }

// Wrap breaks a text into lines of at most width columns, at blanks where it can.
// It has one line at least.
func Wrap(s string, width int) []string {
	width = max(width, 1)
	var lines []string
	for paragraph := range strings.SplitSeq(s, "\n") {
		line, used := "", 0
		for word := range strings.FieldsSeq(paragraph) {
			for {
				w := Width(word)
				if used > 0 && used+1+w <= width {
					line, used = line+" "+word, used+1+w
					break
				}
				if used > 0 {
					lines, line, used = append(lines, line), "", 0
				}
				if w <= width {
					line, used = word, w
					break
				}
				head, tail := cut(word, width)
				lines, word = append(lines, head), tail
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// cut parts a word that is too long: after a hyphen, dot or slash if one comes late
// enough, else where it must.
func cut(word string, width int) (head, tail string) {
	used, end, good := 0, 0, 0
	for k, r := range word {
		w := Width(string(r))
		if used+w > width && k > 0 {
			break
		}
		used += w
		end = k + len(string(r))
		if strings.ContainsRune("-./,", r) && used > width/2 {
			good = end
		}
	}
	if good > 0 {
		end = good
	}
	return word[:end], word[end:]
}
