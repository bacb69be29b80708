package jobfile_test

import (
	"testing"

	"gaugerod/scheduler/jobfile"
)

// TestInWords tells values of a key as people read them, names by what they are called.
func TestInWords(t *testing.T) {
	for _, c := range []struct{ key, text, want string }{
		{"takes", "3 days", "3 days"},
		{"trades", "[a, b]", "<a> and <b>"},
		{"split", "true", "yes"},
		{
			"off", "[{from: 2026-07-20, to: 2026-07-24, why: holiday}, {from: 2026-08-03, to: 2026-08-03}]",
			"from 2026-07-20 to 2026-07-24 (holiday) and 2026-08-03",
		},
		{"work", "{quantity: 30 m2, rate: 10 m2/day, crews: [a]}", "quantity of 30 m2, rate of 10 m2/day, crews"},
	} {
		v, err := jobfile.ParseValue(c.text)
		if err != nil {
			t.Fatal(err)
		}
		got := v.InWords(c.key, func(key, word string) string {
			if key == "trades" {
				return "<" + word + ">"
			}
			return word
		})
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.text, got, c.want)
		}
	}
}
