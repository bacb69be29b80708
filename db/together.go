package db

import (
	"context"
	"sync"
	"time"
)

// together has those who ask while a question is on its way ask the next one together:
// alone, who asks waits for nobody; the more ask at once, the less each question costs.
// An answer is never of a question that was sent before it was asked for.
type together[Q, A any] struct {
	// ask answers as many questions as it is given, in their order.
	ask func(context.Context, []Q) []answered[A]

	mu      sync.Mutex
	waiting []*asking[Q, A]
	away    int       // batches on their way
	sent    time.Time // the newest of them
}

type asking[Q, A any] struct {
	ctx      context.Context //nolint:containedctx // of who waits; the batch goes on without it
	question Q
	answer   answered[A]
	done     chan struct{}
}

type answered[A any] struct {
	is  A
	err error
}

const (
	// waitTogether is how long others wait for one batch: a connection that does not
	// answer holds up those who ask with it, not all who come after them.
	waitTogether = 50 * time.Millisecond
	// mostTogether is how many ask with one statement.
	mostTogether = 64
	// awayAtMost is how long a batch may take.
	awayAtMost = 30 * time.Second
)

// of asks a question and waits for its answer, until ctx ends.
func (t *together[Q, A]) of(ctx context.Context, question Q) (A, error) {
	a := &asking[Q, A]{ctx: ctx, question: question, done: make(chan struct{})}
	t.mu.Lock()
	t.waiting = append(t.waiting, a)
	if t.away == 0 || time.Since(t.sent) > waitTogether {
		t.send()
	}
	t.mu.Unlock()
	select {
	case <-a.done:
		return a.answer.is, a.answer.err
	case <-ctx.Done():
		var none A
		return none, ctx.Err()
	}
}

// send sends the questions that wait on their way. The lock is held.
func (t *together[Q, A]) send() {
	batch := t.waiting[:min(mostTogether, len(t.waiting))]
	t.waiting = t.waiting[len(batch):]
	t.away++
	t.sent = time.Now()
	go t.run(batch)
}

// run asks for a batch, and sends those off who came meanwhile.
func (t *together[Q, A]) run(batch []*asking[Q, A]) {
	// The first one's context has its values, but its end is not that of the others.
	ctx, cancel := context.WithTimeout(context.WithoutCancel(batch[0].ctx), awayAtMost)
	defer cancel()
	questions := make([]Q, len(batch))
	for k, a := range batch {
		questions[k] = a.question
	}
	answers := t.ask(ctx, questions)
	for k, a := range batch {
		a.answer = answers[k]
		close(a.done)
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.away--
	for len(t.waiting) > 0 && (t.away == 0 || len(t.waiting) >= mostTogether) {
		t.send()
	}
}
