package office_test

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// unasked is a store that counts how often it is asked how a job stands.
type unasked struct {
	*memory
	asked atomic.Int64
}

func (u *unasked) Standing(ctx context.Context, id scheduler.ID, asOf worktime.Date) (int64, int, error) {
	u.asked.Add(1)
	return u.memory.Standing(ctx, id, asOf)
}

func knowing(revision int64) context.Context {
	return office.Knowing(context.Background(), &db.Stand{Job: "shed", Revision: revision})
}

// What is known at the beginning of a request holds for what is in memory at that very
// revision; in all other cases the database is asked.
func TestWhatIsKnownIsNotAskedAgain(t *testing.T) {
	var n atomic.Int64
	store := &unasked{memory: newMemory(shed)}
	o := open(t, store, counted(&n))
	reads := func(what string, ctx context.Context, revision, asked int64) {
		t.Helper()
		was := store.asked.Load()
		s, err := o.Sheet(ctx, "shed", nil)
		if err != nil || s.Revision != revision {
			t.Fatalf("%s: the sheet is %+v, %v; want revision %d", what, s, err, revision)
		}
		if got := store.asked.Load() - was; got != asked {
			t.Errorf("%s: asked %d times, want %d", what, got, asked)
		}
	}
	reads("nothing in memory", knowing(1), 1, 1)
	reads("the same in memory", knowing(1), 1, 0)
	reads("nothing known", context.Background(), 1, 1)
	reads("of another job", office.Knowing(context.Background(), &db.Stand{Job: "barn", Revision: 1}), 1, 1)
	later := shed
	later.Title = "Another"
	store.put(later) // as another instance does, without word of it
	reads("a newer one known than in memory", knowing(2), 2, 1)
	reads("an older one known than in memory", knowing(1), 2, 1)
	if revision, _, take, err := o.Take(knowing(2), "shed", nil); err != nil || revision != 2 || take != 0 {
		t.Errorf("the take is %d of revision %d, %v", take, revision, err)
	}
	if _, revision, err := o.Job(knowing(2), "shed"); err != nil || revision != 2 {
		t.Errorf("the job is of revision %d, %v", revision, err)
	}
}

// Who waits for a plan that is overtaken gets that of the newest revision, whatever was
// known at the beginning.
func TestWhatIsKnownIsOvertaken(t *testing.T) {
	store := newMemory(shed)
	begun := make(chan struct{}, 10)
	var n atomic.Int64
	count := counted(&n)
	o := open(t, store, func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		if j.Title == shed.Title {
			begun <- struct{}{}
			<-ctx.Done()
			return nil, ctx.Err()
		}
		return count(ctx, j, asOf)
	})
	if _, _, err := o.Job(context.Background(), "shed"); err != nil {
		t.Fatal(err)
	}
	answer := make(chan error, 1)
	go func() {
		s, err := o.Sheet(knowing(1), "shed", nil)
		if err == nil && s.Revision != 2 {
			err = errors.New("it is of another revision")
		}
		answer <- err
	}()
	<-begun
	if _, err := o.Commit(context.Background(), "shed", db.By("test"), func(j *scheduler.Job) error { j.Title = "Another"; return nil }); err != nil {
		t.Fatal(err)
	}
	if err := <-answer; err != nil {
		t.Error(err)
	}
}
