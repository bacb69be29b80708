package main

import (
	"context"
	"runtime"
	"runtime/debug"
	"testing"
)

// TestGarbageMayGatherWhereLittleIsInUse: up to a heap of some 205 MiB; beyond it half
// of what is in use.
func TestGarbageMayGatherWhereLittleIsInUse(t *testing.T) {
	for live, want := range map[uint64]int{0: 400, 10 << 20: 400, 82 << 20: 150, 205 << 20: 50, 4 << 30: 50} {
		if got := garbageFor(live); got != want {
			t.Errorf("with %d MiB in use %d %%, want %d", live>>20, got, want)
		}
	}
}

// TestGarbageIsLookedAtAfterEachCollection in a real process: this one.
func TestGarbageIsLookedAtAfterEachCollection(t *testing.T) {
	was := debug.SetGCPercent(100)
	ctx, cancel := context.WithCancel(t.Context())
	defer func() {
		cancel()
		debug.SetGCPercent(was)
	}()
	t.Setenv("GOGC", "")
	saveMemory(ctx)
	for range 200 {
		runtime.GC()
		if percent := debug.SetGCPercent(leastGarbage); percent > leastGarbage {
			return
		}
	}
	t.Error("nothing was set after two hundred collections")
}
