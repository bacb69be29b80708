package main

import (
	"context"
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
)

// How much garbage may gather before it is collected. Beyond what is in use as much
// again would be usual; the service holds jobs and plans in memory by choice, so that
// half of it is enough. But where little is in use, collecting over and over would cost
// a quarter of a processor: up to roomyHeap bytes, garbage may stay.
const (
	leastGarbage = 50  // percent of what is in use
	mostGarbage  = 400 // percent
	roomyHeap    = 205 << 20
)

// garbageFor is the percentage for so many bytes in use.
func garbageFor(live uint64) int {
	if live == 0 {
		return mostGarbage
	}
	room := (float64(roomyHeap)/float64(live) - 1) * 100
	return int(min(max(room, leastGarbage), mostGarbage))
}

// saveMemory sets that after each collection until ctx ends, unless whoever runs the
// program has set something else.
func saveMemory(ctx context.Context) {
	if os.Getenv("GOGC") != "" {
		return
	}
	t := &thrift{ctx: ctx, percent: leastGarbage, live: []metrics.Sample{{Name: "/gc/heap/live:bytes"}}}
	debug.SetGCPercent(t.percent)
	t.watch()
}

// thrift sets how much garbage may gather.
type thrift struct {
	ctx     context.Context
	percent int
	live    []metrics.Sample
}

// watch leaves something lying about that nobody uses: the next collection comes upon
// it.
func (t *thrift) watch() {
	runtime.SetFinalizer(&struct{ unused [64]byte }{}, func(any) { t.collected() })
}

// collected is called after a collection.
func (t *thrift) collected() {
	if t.ctx.Err() != nil {
		return
	}
	metrics.Read(t.live)
	if percent := garbageFor(t.live[0].Value.Uint64()); percent != t.percent {
		debug.SetGCPercent(percent)
		t.percent = percent
	}
	t.watch()
}
