package web

import "gaugerod/scheduler"

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
