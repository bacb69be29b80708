package fleet

import (
	"context"
	"errors"
	"math/rand/v2"
	"sync"
	"syscall"
	"time"
)

// faults break one thing after the other until ctx ends, and then see to it that
// everything runs again. What they do follows from the seed; when, only about.
type faults struct {
	random    *rand.Rand
	gap       time.Duration // about, between one and the next
	instances []*instance
	postgres  *postgres
	tally     *tally

	repairs sync.WaitGroup
	mu      sync.Mutex
	broken  map[*instance]bool // is being broken or repaired
	wrong   []error
}

func (f *faults) run(ctx context.Context) error {
	for ctx.Err() == nil {
		select {
		case <-ctx.Done():
		case <-time.After(f.gap/2 + time.Duration(f.random.Int64N(int64(f.gap)))):
			f.one(ctx)
		}
	}
	f.repairs.Wait()
	for _, i := range f.instances {
		f.note(i.keep())
	}
	return errors.Join(f.wrong...)
}

// one breaks one thing. Postgres is back when it returns, an instance is not.
func (f *faults) one(ctx context.Context) {
	i := f.instances[f.random.IntN(len(f.instances))]
	pause := time.Duration(f.random.Int64N(int64(1500 * time.Millisecond)))
	switch dice := f.random.IntN(100); {
	case dice < 35:
		f.breaking(i, &f.tally.kills, func() error {
			err := i.process.end(syscall.SIGKILL)
			time.Sleep(pause)
			return err
		})
	case dice < 45: // as an upgrade does
		f.breaking(i, &f.tally.stops, func() error { return i.process.end(syscall.SIGTERM) })
	case dice < 55: // it still listens and does not answer
		f.breaking(i, &f.tally.freezes, func() error {
			i.process.signal(syscall.SIGSTOP)
			time.Sleep(2 * pause)
			i.process.signal(syscall.SIGCONT)
			return nil
		})
	case dice < 67: // connections are ended, what is under way is rolled back
		f.tally.restarts++
		f.note(f.postgres.restart(syscall.SIGINT))
	case dice < 77: // at once, and recovery at the start
		f.tally.crashes++
		f.note(f.postgres.restart(syscall.SIGQUIT))
	case dice < 82:
		f.tally.crashes++
		f.note(f.postgres.restart(syscall.SIGKILL))
	default:
		f.tally.cuts++
		f.note(f.postgres.cut(context.WithoutCancel(ctx), []float64{1, 0.5}[f.random.IntN(2)]))
	}
}

// breaking does something to an instance and has it repaired, meanwhile others break.
func (f *faults) breaking(i *instance, count *int, do func() error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.broken[i] {
		return
	}
	*count++
	f.broken[i] = true
	f.repairs.Go(func() {
		err := do()
		f.note(errors.Join(err, i.keep()))
		f.mu.Lock()
		defer f.mu.Unlock()
		delete(f.broken, i)
	})
}

func (f *faults) note(err error) {
	if err == nil {
		return
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.wrong = append(f.wrong, err)
}
