package db_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
)

type word struct {
	id       scheduler.ID
	revision int64
}

func next(t *testing.T, words <-chan word) word {
	t.Helper()
	select {
	case w := <-words:
		return w
	case <-time.After(20 * time.Second):
		t.Fatal("nothing was heard")
		return word{}
	}
}

func TestListen(t *testing.T) {
	t.Parallel()
	address := dbtest.Address(t)
	store, conn := at(t, address)
	other, _ := at(t, address) // another instance of the service
	job := everyFeature(t)
	put(t, store, job)

	ctx, cancel := context.WithCancel(t.Context())
	words := make(chan word, 100)
	ended := make(chan error, 1)
	go func() {
		ended <- store.Listen(ctx, func(w db.Word) { words <- word{w.Job, w.Revision} })
	}()
	if w := next(t, words); w != (word{job.ID, 1}) {
		t.Errorf("at first heard %v, want the job as it stands", w)
	}
	change(t, other, job.ID, "kim", func(j *scheduler.Job) { j.Title = "One" })
	if w := next(t, words); w != (word{job.ID, 2}) {
		t.Errorf("heard %v, want revision 2", w)
	}
	_, err := other.Change(t.Context(), job.ID, db.By("kim"), func(j *scheduler.Job) error { j.Title = "no"; return errors.New("no") })
	if err == nil {
		t.Fatal("no error")
	}
	change(t, other, job.ID, "kim", func(j *scheduler.Job) { j.Title = "Two" })
	if w := next(t, words); w != (word{job.ID, 3}) {
		t.Errorf("heard %v, want revision 3 and nothing of what was refused", w)
	}

	// The connection is lost, and with it the word of a change.
	if _, err := conn.Exec(t.Context(), `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE query LIKE 'LISTEN%' AND datname = current_database()`); err != nil {
		t.Fatal(err)
	}
	change(t, other, job.ID, "kim", func(j *scheduler.Job) { j.Title = "Three" })
	for {
		if w := next(t, words); w == (word{job.ID, 4}) {
			break // from the list after connecting again, or as a word, or both
		}
	}
	cancel()
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Errorf("ended with %v", err)
	}
}

func TestListenSaysWhenItCannotBegin(t *testing.T) {
	t.Parallel()
	store := dbtest.Open(t, noon)
	store.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	if err := store.Listen(ctx, func(db.Word) {}); err == nil || errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("a closed store listens (%v)", err)
	}
}

func TestNoDatabase(t *testing.T) {
	_, err := db.Open(t.Context(), "postgres://gaugerod@/gaugerod?host="+t.TempDir(), noon)
	if !errors.Is(err, db.ErrUnavailable) {
		t.Errorf("got %v, want ErrUnavailable", err)
	}
	if _, err := db.Open(t.Context(), "postgres://%zz", noon); err == nil {
		t.Error("an address that is none was taken")
	}
}
