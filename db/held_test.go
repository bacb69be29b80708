package db_test

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// pair is a store that holds jobs in memory and one over the same database that reads
// everything from there.
func pair(t *testing.T) (holding, reading *db.Store) {
	t.Helper()
	address := dbtest.Address(t)
	for _, s := range []**db.Store{&holding, &reading} {
		store, err := db.Open(t.Context(), address, noon)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(store.Close)
		*s = store
	}
	db.HoldAtMost(reading, 0)
	return holding, reading
}

// agree holds what one store holds against what the other reads, in every order.
func agree(t *testing.T, holding, reading *db.Store, id scheduler.ID, when string) {
	t.Helper()
	if d := cmp.Diff(get(t, reading, id), get(t, holding, id)); d != "" {
		t.Fatalf("%s: what is held is not what is in the database:\n%s", when, d)
	}
}

// TestHeldIsWhatIsInTheDatabase changes jobs of every kind in every table.
func TestHeldIsWhatIsInTheDatabase(t *testing.T) {
	t.Parallel()
	holding, reading := pair(t)
	jobs := []*scheduler.Job{everyFeature(t), readFile(t, "../testdata/demo.job.yaml")}
	for seed := range uint64(4) {
		job := randomjob.New(seed, randomjob.Size{})
		job.Canonical()
		jobs = append(jobs, job)
	}
	for n, job := range jobs {
		job.ID = scheduler.ID(fmt.Sprint("job-", n))
		put(t, holding, job)
		agree(t, holding, reading, job.ID, "put")
		if other := *jobs[(n+1)%len(jobs)]; len(job.Issues)+len(other.Issues) == 0 {
			other.ID = job.ID // everything otherwise, and back
			put(t, holding, &other)
			agree(t, holding, reading, job.ID, "put another in its place")
			put(t, holding, job)
			agree(t, holding, reading, job.ID, "put again")
		}
		change(t, holding, job.ID, "kim", func(j *scheduler.Job) {
			for k := range j.Tasks {
				j.Tasks[k].Note += "x"
			}
			for k := range j.Waits {
				if m := j.Waits[k].Most; m != nil {
					j.Waits[k].Most = &worktime.Span{Amount: m.Amount + 1, Unit: m.Unit}
				}
			}
			for k := range j.Trades {
				j.Trades[k].Off = append(j.Trades[k].Off, scheduler.Closure{From: j.Start - 40, To: j.Start - 39, Why: "away"})
			}
			j.Closures = append([]scheduler.Closure{{From: j.Start - 9, To: j.Start - 9}}, j.Closures...)
		})
		agree(t, holding, reading, job.ID, "changed")
		if _, err := holding.Undo(t.Context(), job.ID, 0, false, db.By("kim")); err != nil {
			t.Fatal(err)
		}
		agree(t, holding, reading, job.ID, "undone")
	}
}

// TestHeldIsNotChangedByWhoReads: a job that was given out may be changed.
func TestHeldIsNotChangedByWhoReads(t *testing.T) {
	t.Parallel()
	holding, reading := pair(t)
	job := everyFeature(t)
	put(t, holding, job)
	for range 2 {
		given := get(t, holding, job.ID)
		given.Title = "Spoilt"
		for k := range given.Tasks {
			given.Tasks[k].Title, given.Tasks[k].Trades = "spoilt", nil
		}
		agree(t, holding, reading, job.ID, "after a reader's change")
	}
}

// TestHeldIsNotChangedByWhatFails: neither by a change that ends with an error nor by
// one whose transaction is not committed.
func TestHeldIsNotChangedByWhatFails(t *testing.T) {
	t.Parallel()
	holding, reading := pair(t)
	job := everyFeature(t)
	revision := put(t, holding, job)
	no := errors.New("no")
	_, err := holding.Change(t.Context(), job.ID, db.By("kim"), func(j *scheduler.Job) error {
		j.Tasks[0].Title, j.Tasks[1].Takes.Amount = "spoilt", 99
		return no
	})
	if !errors.Is(err, no) {
		t.Fatal(err)
	}
	agree(t, holding, reading, job.ID, "after an error")
	ctx, cancel := context.WithCancel(t.Context())
	_, err = holding.Change(ctx, job.ID, db.By("kim"), func(j *scheduler.Job) error {
		j.Tasks[0].Title = "spoilt"
		cancel()
		return nil
	})
	if err == nil {
		t.Fatal("a change without a database went through")
	}
	agree(t, holding, reading, job.ID, "after a transaction that failed")
	if got := change(t, holding, job.ID, "kim", func(j *scheduler.Job) { j.Tasks[0].Note = "new" }); got != revision+1 {
		t.Errorf("revision %d, want %d", got, revision+1)
	}
	agree(t, holding, reading, job.ID, "changed after all")
}

// TestOthersChangeWhatIsHeld: what another instance has written counts at once.
func TestOthersChangeWhatIsHeld(t *testing.T) {
	t.Parallel()
	holding, other := pair(t)
	job := everyFeature(t)
	put(t, holding, job)
	for k := range 6 {
		stores := []*db.Store{holding, other}
		change(t, stores[k%2], job.ID, "kim", func(j *scheduler.Job) { j.Tasks[0].Note += string(rune('a' + k)) })
		agree(t, holding, other, job.ID, "changed by one of two")
	}
	if got := get(t, holding, job.ID).Tasks[0].Note; got != job.Tasks[0].Note+"abcdef" {
		t.Errorf("the note is %q", got)
	}
}

// TestHeldIsBounded: those asked for least lately go first, and are read again.
func TestHeldIsBounded(t *testing.T) {
	t.Parallel()
	holding, reading := pair(t)
	job := everyFeature(t)
	put(t, holding, job)
	each, _ := db.Held(holding)
	db.HoldAtMost(holding, 3*each+each/2)
	for n := range 6 {
		job.ID = scheduler.ID(fmt.Sprint("job-", n))
		put(t, holding, job)
	}
	if rows, jobs := db.Held(holding); jobs != 3 || rows != 3*each {
		t.Errorf("%d rows of %d jobs are held, want %d of 3", rows, jobs, 3*each)
	}
	for n := range 6 {
		agree(t, holding, reading, scheduler.ID(fmt.Sprint("job-", n)), "after others")
	}
	db.HoldAtMost(holding, each/2)
	put(t, holding, everyFeature(t))
	if rows, jobs := db.Held(holding); rows != 0 || jobs != 0 {
		t.Errorf("%d rows of %d jobs are held although there is no room", rows, jobs)
	}
}
