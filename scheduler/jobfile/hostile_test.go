package jobfile_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// TestHostileFilesAreRefused reads large files made to take long.
// What grows with the square of them takes many minutes, and runs into the limit of all tests.
func TestHostileFilesAreRefused(t *testing.T) {
	many := func(n int, line string) string {
		var b strings.Builder
		for k := range n {
			fmt.Fprintf(&b, line, k, k)
		}
		return b.String()
	}
	for name, file := range map[string]string{
		"too large":             strings.Repeat("#", jobfile.MaxSize+1),
		"nested lists":          head + "tasks: " + strings.Repeat("[", 100_000),
		"nested lists, closed":  head + "tasks: " + strings.Repeat("[", 5_000) + strings.Repeat("]", 5_000),
		"nested mappings":       head + "tasks: " + strings.Repeat("{a: ", 5_000) + strings.Repeat("}", 5_000),
		"comments":              head + strings.Repeat("# a\n", 200_000) + "tasks: 5\n",
		"anchors upon anchors":  "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nd: [*c, *c]\n",
		"unknown keys":          head + many(20_000, "k%[1]d: %[2]d\n"),
		"one key often":         head + strings.Repeat("gear: {}\n", 20_000),
		"unknown names":         head + "tasks:\n" + many(25_000, "  t%[1]d: {title: T, takes: 1 day, trade: x%[2]d}\n"),
		"one list of names":     head + "tasks:\n  t: {title: T, takes: 1 day, trades: [" + many(50_000, "x%[1]d,") + "]}\n",
		"one name often":        head + "tasks:\n  t: {title: T, takes: 1 day, trades: [" + strings.Repeat("x,", 100_000) + "]}\n",
		"places in a row":       head + "places:\n  p0: {title: P}\n" + many(30_000, "  q%[1]d: {title: P, within: q%[2]d0}\n"),
		"deep places":           head + "places:\n  p0: {title: P, within: p1}\n" + deepPlaces(30_000),
		"typicals without end":  head + "places:\n" + many(2_000, "  p%[1]d: {title: P}\n") + "typicals:\n  t:\n    title: T\n    places: [" + many(2_000, "p%[1]d,") + "]\n    tasks:\n" + many(2_000, "      s%[1]d: {title: S, takes: 1 day}\n"),
		"layers without end":    head + "places:\n" + many(2_000, "  p%[1]d: {title: P}\n") + "tasks:\n  t: {title: T, takes: 1 day}\nbuild-ups:\n  b:\n    title: B\n    places: [" + many(2_000, "p%[1]d,") + "]\n    layers:\n" + many(2_000, "      l%[1]d: {title: L, by: t}\n"),
		"waivers of one wait":   head + "tasks:\n  a: {title: A, takes: 1 day}\n  b: {title: B, takes: 1 day}\nwaits:\n" + strings.Repeat("  - {from: {finish: a}, to: {start: b}}\n", 15_000) + "waivers:\n" + strings.Repeat("  - {from: {start: a}, to: {start: b}, by: x, on: 2026-01-01, reason: r}\n", 15_000),
		"large and broken":      head + strings.Repeat("# a\n", 400_000) + "tasks: [",
		"a long text":           head + "tasks:\n  t: {title: " + strings.Repeat("x", 5_000_000) + ", takes: 1 day}\n",
		"a long length of time": head + "tasks:\n  t: {title: T, takes: " + strings.Repeat("9", 5_000_000) + " days}\n",
	} {
		t.Run(name, func(t *testing.T) {
			_, err := jobfile.Read("hostile", []byte(file))
			var faults scheduler.Faults
			if !errors.As(err, &faults) || len(faults) == 0 {
				t.Fatalf("got %v", err)
			}
			if len(faults) > 6000 {
				t.Errorf("%d faults", len(faults))
			}
			if n := len(faults[0].Error()); n > 2000 {
				t.Errorf("the first fault is %d bytes long", n)
			}
			t.Log(len(faults), faults[0].Error())
		})
	}
}

func deepPlaces(n int) string {
	var b strings.Builder
	for k := 1; k < n; k++ {
		fmt.Fprintf(&b, "  p%d: {title: P, within: p%d}\n", k, k+1)
	}
	fmt.Fprintf(&b, "  p%d: {title: P}\n", n)
	return b.String()
}
