package jobfile

import (
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func TestQuotationMarksWhereTheyAreNeeded(t *testing.T) {
	for _, c := range []struct{ text, outside, inBrackets string }{
		{"Frame and brace", `Frame and brace`, `Frame and brace`},
		{"neighbour's", `neighbour's`, `neighbour's`},
		{"2 litres, mixed", `2 litres, mixed`, `"2 litres, mixed"`},
		{"seen?", `seen?`, `"seen?"`},
		{"loose end: paint", `"loose end: paint"`, `"loose end: paint"`},
		{"off", `"off"`, `"off"`},
		{"12", `"12"`, `"12"`},
		{"", `""`, `""`},
		{" a", `" a"`, `" a"`},
		{"say \"a\\b\"", `say "a\b"`, `say "a\b"`},
		{"\"a\\b\"", `"\"a\\b\""`, `"\"a\\b\""`},
		{"a\tb\nc", `"a\tb\nc"`, `"a\tb\nc"`},
		{"a\u2028b\U000E0001c", `"a\u2028b\U000E0001c"`, `"a\u2028b\U000E0001c"`},
		{"größer 😀", `größer 😀`, `größer 😀`},
	} {
		for inBrackets, want := range map[bool]string{false: c.outside, true: c.inBrackets} {
			got := plain(word(c.text), inBrackets)
			if got != want {
				t.Errorf("%q in brackets %t: got %s, want %s", c.text, inBrackets, got, want)
			}
			file := "a: " + got
			if inBrackets {
				file = "{a: " + got + "}"
			}
			var back map[string]string
			if err := yaml.Unmarshal([]byte(file), &back); err != nil || back["a"] != c.text {
				t.Errorf("%s is read as %q, %v", file, back["a"], err)
			}
		}
	}
	if got := plain(word("2026-03-02"), false); got != `"2026-03-02"` {
		t.Errorf("a text that looks like a day: %s", got)
	}
	if got := plain(date.write(worktime.Date(20514)), false); got != "2026-03-02" {
		t.Errorf("a day: %s", got)
	}
}

func TestWriteLongLines(t *testing.T) {
	long := strings.Repeat("word ", 40) + "end"
	job := &scheduler.Job{Tasks: []scheduler.Task{{ID: "t", Title: long, Note: long}}}
	for k := range 30 {
		job.Tasks[0].Trades = append(job.Tasks[0].Trades, scheduler.ID("trade-"+string(rune('a'+k%26))))
	}
	out, err := Write(job) // unsound, and written all the same
	if err != nil {
		t.Fatal(err)
	}
	const want = `week: {}

tasks:
  t:
    title: word word`
	if !strings.Contains(string(out), want) || !strings.Contains(string(out), "    trades:\n      - trade-a\n      - trade-b\n") {
		t.Errorf("got\n%s", out)
	}
	var n yaml.Node
	if err := yaml.Unmarshal(out, &n); err != nil {
		t.Error(err)
	}
}
