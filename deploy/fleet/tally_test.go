package fleet

import (
	"fmt"
	"sync"
	"sync/atomic"
	"time"
)

// tally counts what happens.
type tally struct {
	conflicts, lost atomic.Int64

	mu       sync.Mutex
	writes   []write
	longest  time.Duration
	retries  int
	statuses map[int]int // of answers that were asked for again; 0: there was none
	wrong    []string    // answers that no fault explains

	kills, stops, freezes, restarts, crashes, cuts int // of one goroutine
}

func (t *tally) acknowledged(w write, took time.Duration) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.writes = append(t.writes, w)
	t.longest = max(t.longest, took)
}

func (t *tally) retried(got *answer, err error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.retries++
	if t.statuses == nil {
		t.statuses = map[int]int{}
	}
	if err != nil {
		t.statuses[0]++
		return
	}
	t.statuses[got.status]++
	if got.status == 500 && len(t.wrong) < 10 {
		t.wrong = append(t.wrong, string(got.body))
	}
}

func (t *tally) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return fmt.Sprintf("%d writes acknowledged, %d requests sent again (%v), %d of them after the client lost its connection, %d conflicts; "+
		"instances: %d killed, %d stopped, %d frozen; Postgres: %d restarted, %d crashed, %d times connections cut; "+
		"longest time to an acknowledgement %.1f s",
		len(t.writes), t.retries, t.statuses, t.lost.Load(), t.conflicts.Load(),
		t.kills, t.stops, t.freezes, t.restarts, t.crashes, t.cuts, t.longest.Seconds())
}
