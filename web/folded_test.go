package web

import (
	"strings"
	"testing"
)

// TestStatementsAreFolded leaves short sentences as they are, and of long ones the middle
// out, with days still days.
func TestStatementsAreFolded(t *testing.T) {
	short := say("These 3 statements cannot all hold: a; b on ", Part{Text: "Mon 1 Jun", Day: "2026-06-01"}, "; c; the plan sets aside: c.")
	if got, left := foldStatements(short); got.Text() != short.Text() || left != nil {
		t.Errorf("%q and %v left out", got.Text(), left)
	}
	long := say("These 8 statements cannot all hold: a; b on ", Part{Text: "Mon 1 Jun", Day: "2026-06-01"}, ", early; c; d; e; f on ", Part{Text: "Tue 2 Jun", Day: "2026-06-02"}, "; g; h; the plan sets aside: c.")
	got, left := foldStatements(long)
	if want := "These 8 statements cannot all hold: a; b on Mon 1 Jun, early; c; d; and 4 more; the plan sets aside: c."; got.Text() != want {
		t.Errorf("%q, want %q", got.Text(), want)
	}
	var texts []string
	for _, l := range left {
		texts = append(texts, l.Text())
	}
	if want := "e|f on Tue 2 Jun|g|h"; strings.Join(texts, "|") != want {
		t.Errorf("left out %q, want %q", texts, want)
	}
	if day := left[1][1]; day.Day != "2026-06-02" {
		t.Errorf("%+v is no day any more", day)
	}
}
