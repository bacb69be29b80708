package web

import (
	"testing"

	"gaugerod/scheduler/worktime"
)

// TestDaysInSentences: each day that the planner writes is found, with its year or without,
// and nothing that only looks like one.
func TestDaysInSentences(t *testing.T) {
	s := newSite(t, demo)
	b, err := newBoard(s.sheet(), readAt, false)
	if err != nil {
		t.Fatal(err)
	}
	year := b.AsOf.Format("2006")
	for sentence, want := range map[string][]string{
		"Not before Mon 15 Jun 2026: the crew is away.": {"2026-06-15"},
		"Fri 2 Jan 2026": {"2026-01-02"},
		"From Mon 15 Jun to Fri 19 Jun, then Wed 1 Jul.": {year + "-06-15", year + "-06-19", year + "-07-01"},
		"Sat 29 Feb 2027 is no day, Mon 15 Junk neither": nil,
		"The SMon 15 Jun and Mon 155 Jun and Mon 1":      nil,
		"Öffnung am Wed 1 Jul":                           {year + "-07-01"},
		"":                                               nil,
	} {
		var got []string
		for at := range len(sentence) {
			if d, n := b.readDay(sentence, at); n > 0 {
				got = append(got, d.String())
			}
		}
		if len(got) != len(want) {
			t.Errorf("%q: %v, want %v", sentence, got, want)
			continue
		}
		for k := range want {
			if got[k] != want[k] {
				t.Errorf("%q: %v, want %v", sentence, got, want)
			}
		}
	}
	step := b.Plan.Steps[0].ID
	l := b.told("It ends on Mon 15 Jun 2026, late.", step)
	if d := worktime.Date(0); len(l) != 3 || l[1].Href == "" || l.Text() != "It ends on "+b.date(d+20619)+", late." {
		t.Errorf("told as %q, with a link to %q", l.Text(), l[1].Href)
	}
}
