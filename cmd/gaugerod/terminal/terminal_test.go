package terminal_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"gaugerod/cmd/gaugerod/terminal"
)

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"", 10, []string{""}},
		{"one", 10, []string{"one"}},
		{"one two three", 7, []string{"one two", "three"}},
		{"  one   two ", 10, []string{"one two"}},
		{"opening-north-3.set", 12, []string{"opening-", "north-3.set"}},
		{"abcdefghij", 4, []string{"abcd", "efgh", "ij"}},
		{"first\nsecond", 20, []string{"first", "second"}},
		{"窓枠 窓枠", 5, []string{"窓枠", "窓枠"}},
		{"窓枠窓枠", 5, []string{"窓枠", "窓枠"}},
		{"größe größe", 5, []string{"größe", "größe"}},
		{"x", 0, []string{"x"}},
	} {
		if diff := cmp.Diff(c.want, terminal.Wrap(c.text, c.width)); diff != "" {
			t.Errorf("%q in %d: %s", c.text, c.width, diff)
		}
	}
}

func TestWrapKeepsEveryLetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune("ab -.é窓\n"))).Draw(t, "text")
		width := rapid.IntRange(2, 12).Draw(t, "width")
		lines := terminal.Wrap(s, width)
		for _, line := range lines {
			if terminal.Width(line) > width {
				t.Fatalf("%q is wider than %d", line, width)
			}
		}
		bare := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if bare(strings.Join(lines, "")) != bare(s) {
			t.Fatalf("%q became %q", s, lines)
		}
	})
}

func page(width int, colour bool, draw func(*terminal.Paper)) string {
	var b strings.Builder
	draw(terminal.New(&b, width, colour))
	return b.String()
}

var columns = []terminal.Column{{Head: "day"}, {Head: "what", Least: 10}, {Head: "empty"}, {Head: "left", Right: true}}

func rows() []terminal.Row {
	return []terminal.Row{
		terminal.Cells("Mon 4 May", "Set the windows of the north wall", "", "3 days"),
		terminal.Cells("Tue 5 May", "窓枠を取り付ける", "", "10 days"),
	}
}

func TestTable(t *testing.T) {
	for name, c := range map[string]struct {
		width int
		want  string
	}{
		"wide": {100, "" +
			"day        what                                  left\n" +
			"Mon 4 May  Set the windows of the north wall   3 days\n" +
			"Tue 5 May  窓枠を取り付ける                   10 days\n"},
		"wrapped": {42, "" +
			"day        what                       left\n" +
			"Mon 4 May  Set the windows of the   3 days\n" +
			"           north wall\n" +
			"Tue 5 May  窓枠を取り付ける        10 days\n"},
	} {
		got := page(c.width, false, func(p *terminal.Paper) { p.Table(columns, rows()) })
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func TestTableStacksWhenTooNarrow(t *testing.T) {
	long := strings.Repeat("x", 40)
	got := page(40, false, func(p *terminal.Paper) {
		p.Table([]terminal.Column{{Head: "a"}, {Head: "b"}}, []terminal.Row{terminal.Cells("short", long), terminal.Cells("", "y")})
	})
	want := "  a: short\n  b: " + strings.Repeat("x", 35) + "\n     xxxxx\n\n  b: y\n"
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestNoLineIsWiderThanThePaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(terminal.NarrowWidth, 120).Draw(t, "width")
		words := rapid.StringOf(rapid.SampledFrom([]rune("ab -.é窓")))
		var all []terminal.Row
		for range rapid.IntRange(0, 4).Draw(t, "rows") {
			all = append(all, terminal.Cells(words.Draw(t, "1"), words.Draw(t, "2"), words.Draw(t, "3"), words.Draw(t, "4")))
		}
		got := page(width, false, func(p *terminal.Paper) {
			p.Title(words.Draw(t, "title"))
			p.Heading(words.Draw(t, "heading"))
			p.Line("  - ", words.Draw(t, "line"))
			p.Table(columns, all)
		})
		for line := range strings.SplitSeq(got, "\n") {
			if terminal.Width(line) > width {
				t.Fatalf("%d columns: %q", width, line)
			}
		}
	})
}

func TestColourAddsNothingButColour(t *testing.T) {
	draw := func(p *terminal.Paper) {
		p.Title("Job")
		p.Heading("Alerts")
		p.Inked(terminal.Red, "  ! ", "late order")
		all := rows()
		all[0][1].Ink = terminal.Yellow
		p.Table(columns, all)
	}
	plain, coloured := page(60, false, draw), page(60, true, draw)
	if strings.Contains(plain, "\x1b") || !strings.Contains(coloured, "\x1b[31m") {
		t.Fatal("colour where there should be none, or none where there should be")
	}
	for _, ink := range []terminal.Ink{terminal.Bold, terminal.Faint, terminal.Red, terminal.Yellow, "\x1b[0m"} {
		coloured = strings.ReplaceAll(coloured, string(ink), "")
	}
	if diff := cmp.Diff(plain, coloured); diff != "" {
		t.Error(diff)
	}
}

type full struct{}

var errFull = errors.New("the disk is full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestTheErrorOfWritingIsKept(t *testing.T) {
	p := terminal.New(full{}, 80, false)
	p.Title("Job")
	p.Table(columns, rows())
	if !errors.Is(p.Err(), errFull) {
		t.Errorf("%v", p.Err())
	}
}

func TestSizeOfNoTerminal(t *testing.T) {
	f, err := os.Open(os.DevNull)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if width, ok := terminal.Size(f); ok || width != terminal.PlainWidth {
		t.Errorf("%d, %v", width, ok)
	}
}
