package office

import (
	"context"

	"gaugerod/db"
)

// slots is how many plans may be in the making at once. Those that are made quickly do
// not wait for those that take long, and leave a processor to those who read: what is
// read waits for the network several times, and each time for a processor.
//
// A quick plan takes a slot only while it is worked out, and none while it waits for the
// database. A long one is not even claimed before there is a slot: another instance may
// have one free.
type slots struct{ quick, long chan struct{} }

func newSlots(processors int) slots {
	return slots{quick: make(chan struct{}, max(processors-1, 1)), long: make(chan struct{}, max(processors/2, 1))}
}

// enter waits for a slot; leave gives it back.
func (s *slots) enter(ctx context.Context, quick bool) (leave func(), err error) {
	slot := s.long
	if quick {
		slot = s.quick
	}
	select {
	case slot <- struct{}{}:
		return func() { <-slot }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// quickSteps is the most steps of a job whose plan is mended within some 30 ms.
const quickSteps = 1000

// isQuick says whether a plan will be made quickly: near one that is remembered.
func (o *Office) isQuick(s *shelf, of db.PlanOf) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	return s.before.left != nil && len(s.network.Steps) <= quickSteps && o.usual(s.job, of.AsOf)
}
