package office

import (
	"context"

	"gaugerod/scheduler"
)

// watcher holds the newest revision that its owner has not taken yet.
type watcher struct {
	newest chan int64 // room for one
	last   int64      // the last one put there, guarded by Office.mu
}

// Subscribe gives the revisions of a job as they come, from now on. Who is slow
// gets only the newest. Call stop when done; the channel is never closed.
func (o *Office) Subscribe(id scheduler.ID) (revisions <-chan int64, stop func()) {
	w := &watcher{newest: make(chan int64, 1)}
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.watchers[id] == nil {
		o.watchers[id] = make(map[*watcher]struct{})
	}
	o.watchers[id][w] = struct{}{}
	return w.newest, func() {
		o.mu.Lock()
		defer o.mu.Unlock()
		delete(o.watchers[id], w)
		if len(o.watchers[id]) == 0 {
			delete(o.watchers, id)
		}
	}
}

func (o *Office) tell(id scheduler.ID, revision int64) {
	o.mu.Lock()
	defer o.mu.Unlock()
	for w := range o.watchers[id] {
		if revision <= w.last {
			continue // heard already, from here or from the database
		}
		w.last = revision
		select {
		case <-w.newest: // not taken: the new one stands for both
		default:
		}
		w.newest <- revision
	}
}

// Listen passes on the changes that other instances of the service make, until
// ctx ends. Without it only this instance's changes reach the watchers.
func (o *Office) Listen(ctx context.Context) error {
	return o.store.Listen(ctx, o.tell)
}
