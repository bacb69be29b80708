package db

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"
)

// batches keeps those that were asked for, and lets each go when told to.
type batches struct {
	mu  sync.Mutex
	all [][]int
	on  chan struct{}
	let chan struct{}
}

func newBatches() (*batches, *together[int, string]) {
	b := &batches{on: make(chan struct{}, 100), let: make(chan struct{})}
	t := &together[int, string]{ask: func(_ context.Context, all []int) []answered[string] {
		b.mu.Lock()
		b.all = append(b.all, slices.Clone(all))
		b.mu.Unlock()
		b.on <- struct{}{}
		<-b.let
		answers := make([]answered[string], len(all))
		for k, q := range all {
			answers[k].is = fmt.Sprint("answer to ", q)
		}
		return answers
	}}
	return b, t
}

// TestTogether: the first asks at once, those who come meanwhile ask together after it,
// and each gets the answer to what it asked.
func TestTogether(t *testing.T) {
	b, all := newBatches()
	var asking sync.WaitGroup
	ask := func(q int) {
		asking.Go(func() {
			if got, err := all.of(t.Context(), q); err != nil || got != fmt.Sprint("answer to ", q) {
				t.Errorf("%d: %q, %v", q, got, err)
			}
		})
	}
	waiting := func() int {
		all.mu.Lock()
		defer all.mu.Unlock()
		return len(all.waiting)
	}
	ask(0)
	<-b.on
	all.mu.Lock()
	all.sent = time.Now().Add(time.Hour) // however slow this machine is
	all.mu.Unlock()
	for q := 1; q <= 2*mostTogether; q++ {
		ask(q)
	}
	for waiting() < 2*mostTogether {
		time.Sleep(time.Millisecond)
	}
	close(b.let)
	asking.Wait()
	var sizes []int
	for _, batch := range b.all {
		sizes = append(sizes, len(batch))
	}
	if !slices.Equal(sizes, []int{1, mostTogether, mostTogether}) {
		t.Errorf("batches of %v", sizes)
	}
}

// TestNobodyWaitsForABatchThatDoesNotCome, nor for one who has left.
func TestNobodyWaitsForABatchThatDoesNotCome(t *testing.T) {
	b, all := newBatches()
	leaving, leave := context.WithCancel(t.Context())
	left := make(chan error)
	go func() {
		_, err := all.of(leaving, 1)
		left <- err
	}()
	<-b.on
	leave()
	if err := <-left; !errors.Is(err, context.Canceled) {
		t.Errorf("who left was told %v", err)
	}
	all.mu.Lock()
	all.sent = time.Now().Add(-2 * waitTogether) // it has been away for that long
	all.mu.Unlock()
	second := make(chan error)
	go func() {
		_, err := all.of(t.Context(), 2)
		second <- err
	}()
	<-b.on // although the first batch is still away
	close(b.let)
	if err := <-second; err != nil {
		t.Error(err)
	}
}
