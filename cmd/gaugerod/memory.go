package main

import (
	"os"
	"runtime/debug"
)

// collectAt is how much garbage may gather, in percent of what is in use, before it is
// collected. Half of the usual: the service holds jobs and plans in memory by choice, so
// that twice as much would stand idle, and collecting more often costs a few percent of a
// processor.
const collectAt = 50

// saveMemory sets that, unless whoever runs the program has set something else.
func saveMemory() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(collectAt)
	}
}
