package db_test

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/db/private"
	"gaugerod/scheduler"
)

// TestStoreOutlivesPostgres kills Postgres under a store that is in use: meanwhile
// it says that the database is not available, and then it goes on by itself.
func TestStoreOutlivesPostgres(t *testing.T) {
	folder := crashable(t)
	cluster, err := private.Start(t.Context(), private.Config{Folder: folder, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	defer cluster.Stop(context.Background())
	store, err := db.Open(t.Context(), cluster.Address(), noon)
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	if err := store.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	job := everyFeature(t)
	put(t, store, job)
	words := make(chan word, 1000)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	go store.Listen(ctx, func(w db.Word) { words <- word{w.Job, w.Revision} })
	next(t, words)

	killPostgres(folder)
	refused, acknowledged := 0, int64(0)
	for try, deadline := 0, time.Now().Add(time.Minute); acknowledged == 0; try++ {
		revision, err := store.Change(t.Context(), job.ID, db.By("kim"), func(j *scheduler.Job) error {
			j.Title = fmt.Sprint("Try ", try)
			return nil
		})
		switch {
		case err == nil && refused > 0:
			acknowledged = revision
		case err == nil: // a server process that has not noticed yet
		case errors.Is(err, db.ErrUnavailable):
			refused++
			time.Sleep(5 * time.Millisecond)
		default:
			t.Fatalf("the error is %v, want ErrUnavailable", err)
		}
		if time.Now().After(deadline) {
			t.Fatalf("within a minute %d were refused and then none kept", refused)
		}
	}
	for {
		if w := next(t, words); w.revision == acknowledged {
			break // Listen has connected again too
		}
	}
}

// A connection of the pool that has just been found closed when it is to be used.
func TestClosedConnectionIsAnOutage(t *testing.T) {
	t.Parallel()
	_, conn := at(t, dbtest.Address(t))
	if err := conn.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	_, err := conn.Exec(t.Context(), `SELECT 1`)
	if err == nil || !errors.Is(db.Explain(err), db.ErrUnavailable) {
		t.Errorf("%v is not explained as an outage", err)
	}
}
