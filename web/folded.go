package web

import (
	"strconv"
	"strings"

	"gaugerod/scheduler"
)

// folded is a list of which the rest is folded away.
type folded[T any] struct{ First, Rest []T }

func foldAfter[T any](all []T, most int) folded[T] {
	most = min(most, len(all))
	return folded[T]{all[:most], all[most:]}
}

// mostAlerts is how many alerts are told at once.
const mostAlerts = 5

// foldedAlerts are alerts in words, the first few at once.
func (b *board) foldedAlerts(all []scheduler.Alert) folded[alertEntry] {
	var entries []alertEntry
	for k := range all {
		entries = append(entries, b.alert(&all[k]))
	}
	return foldAfter(entries, mostAlerts)
}

// mostStatements is how many statements that contradict each other are told at once,
// besides the one that the plan sets aside.
const mostStatements = 4

// foldStatements shortens a sentence whose statements stand behind a colon, with semicolons
// between, to the first few and the last one, and gives what it left out.
func foldStatements(sentence Line) (short Line, left []Line) {
	all := []Line{nil}
	for _, p := range sentence {
		pieces := []string{p.Text}
		if p.Day == "" && p.Href == "" {
			pieces = strings.Split(p.Text, "; ")
		}
		for k, text := range pieces {
			if k > 0 {
				all = append(all, nil)
			}
			part := p
			if part.Text = text; text != "" {
				all[len(all)-1] = append(all[len(all)-1], part)
			}
		}
	}
	if len(all) <= mostStatements+2 {
		return sentence, nil
	}
	for _, l := range all[:mostStatements] {
		short = append(append(short, l...), Part{Text: "; "})
	}
	short = append(short, Part{Text: "and " + strconv.Itoa(len(all)-1-mostStatements) + " more" + "; "})
	return append(short, all[len(all)-1]...), all[mostStatements : len(all)-1]
}
