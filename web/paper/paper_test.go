package paper

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"
)

var made = time.Date(2026, 6, 17, 9, 30, 0, 0, time.UTC)

// all is one block of each kind, with words that no type has room for.
func all(text string) []Block {
	words := []Run{{Text: text}, {Text: " and heavy", Heavy: true}, {Text: "."}}
	return []Block{
		Heading{text},
		Text{Grave, words},
		Text{Box, words},
		Text{Gate, words},
		Row{Day: words, Text: words, Late: true},
		Sign{Title: text, Says: words},
		Sign{Title: text, Done: true},
		Section{[]Layer{{Thickness: 240, Gate: true}, {Laid: true, Hatch: 9}}},
		Turn{},
		Code{Dark: [][]bool{{true, false}, {false, true}}, Says: words},
	}
}

// TestOddWordsAreLaidOut: nothing that people write stops a sheet.
func TestOddWordsAreLaidOut(t *testing.T) {
	for name, text := range map[string]string{
		"nothing": "", "spaces": " \n\t ", "other scripts": "дом 家 بيت", "signs of many bytes": "🏠🏗", "broken": "a\xff\x00b",
		"a long word": strings.Repeat("Überlänge", 80), "a book": strings.Repeat("word after word ", 300),
	} {
		for _, size := range Sizes {
			var out bytes.Buffer
			if err := Write(&out, size, made, Head{Job: text, Title: text, Standing: text, Foot: text}, all(text)); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			if !bytes.HasPrefix(out.Bytes(), []byte("%PDF-")) {
				t.Errorf("%s: %.20q is no PDF", name, out.String())
			}
		}
	}
}

// TestNothingIsLaidBeyondTheFoot: units stay between head and foot, and go on on the
// next sheet.
func TestNothingIsLaidBeyondTheFoot(t *testing.T) {
	var blocks []Block
	for range 60 {
		blocks = append(blocks, all("Some words of usual length, such as a sentence has")...)
	}
	for name, size := range Sizes {
		p := newPress(size, made, Head{})
		for _, b := range blocks {
			for _, u := range b.layOut(p, p.width) {
				p.room(u.height)
				if p.y+u.height > p.bottom {
					t.Fatalf("%q: %T is laid to %.0f mm, past %.0f", name, b, p.y+u.height, p.bottom)
				}
				p.y += u.height
			}
		}
		if p.pdf.PageNo() < 5 {
			t.Errorf("%q: all of it on %d sheets", name, p.pdf.PageNo())
		}
	}
}

func TestLinesAreNoWiderThanTheColumn(t *testing.T) {
	p := newPress(A4, made, Head{})
	for _, width := range []float64{20, 60, 180} {
		for _, line := range p.wrap([]Run{{Text: "A sentence with heavy words"}, {Text: " in its midst", Heavy: true}, {Text: "."}, {Text: strings.Repeat("x", 90)}}, width, textSize) {
			last := line[len(line)-1]
			p.font(last.Heavy, textSize)
			if end := last.x + p.pdf.GetStringWidth(last.Text); end > width+2 {
				t.Errorf("a line of %.0f mm is %.1f mm wide", width, end)
			}
		}
	}
}

type full struct{}

var errFull = errors.New("no room")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestWhatCannotBeWrittenIsSaid(t *testing.T) {
	if err := Write(full{}, A4, made, Head{}, nil); !errors.Is(err, errFull) {
		t.Errorf("said: %v", err)
	}
}

// TestNoLabelStandsAlone asks for room for all that a heading and a label lead to.
func TestNoLabelStandsAlone(t *testing.T) {
	p := newPress(A4, made, Head{})
	heading, label, text := Heading{"Front door"}, Text{None, []Run{{"The work", true}}}, Text{Box, []Run{{"Set the door", false}}}
	height := func(b Block) float64 { return b.layOut(p, p.width)[0].height }
	if got, want := p.led([]Block{heading, label, text}), 2*between+height(label)+height(text); got != want {
		t.Errorf("a heading leads to %.1f mm, want %.1f", got, want)
	}
	for name, blocks := range map[string][]Block{"a text": {text, text}, "the end": {heading}, "a turn": {heading, Turn{}}} {
		if got := p.led(blocks); got != 0 {
			t.Errorf("%s leads to %.1f mm", name, got)
		}
	}
}
