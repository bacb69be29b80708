package db_test

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
)

// brisk is heavy work without pauses.
func brisk(search func(context.Context, db.PlanOf, int) (db.PlanHead, error)) db.Heavy {
	return db.Heavy{
		Search: search, Rounds: 2, Quiet: -time.Second /* the clock stands still */, Look: 20 * time.Millisecond,
		Compare: func(context.Context, db.ComparisonOf) ([]byte, error) { return []byte(`{}`), nil },
	}
}

// works has a store work until the test, or stop, ends it.
func works(t *testing.T, store *db.Store, heavy db.Heavy) (stop func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- store.Work(ctx, heavy, zerolog.New(zerolog.NewTestWriter(t))) }()
	stop = sync.OnceFunc(func() {
		cancel()
		if err := <-ended; !errors.Is(err, context.Canceled) {
			t.Errorf("work ended with %v", err)
		}
	})
	t.Cleanup(stop)
	return stop
}

// until waits for something to become so.
func until(t *testing.T, what string, so func() bool) {
	t.Helper()
	for end := time.Now().Add(time.Minute); !so(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("within a minute not: %s", what)
		}
	}
}

func searches(t *testing.T, store *db.Store, id scheduler.ID) []db.Search {
	t.Helper()
	all, err := store.Searches(t.Context(), id, 10)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// inState says whether the newest search of a job is in a state.
func inState(t *testing.T, store *db.Store, id scheduler.ID, state db.SearchState) func() bool {
	return func() bool {
		all := searches(t, store, id)
		return len(all) > 0 && all[0].State == state
	}
}

// TestOneSearchARevision has three processes work: the one search of a revision goes
// through its rounds once, and is never made again.
func TestOneSearchARevision(t *testing.T) {
	t.Parallel()
	address := dbtest.Address(t)
	store, _ := at(t, address)
	job := everyFeature(t)
	put(t, store, job)
	var mu sync.Mutex
	rounds := map[int]int{}
	better := time.Date(2026, 9, 1, 12, 0, 0, 0, time.UTC)
	heavy := brisk(func(_ context.Context, of db.PlanOf, round int) (db.PlanHead, error) {
		mu.Lock()
		defer mu.Unlock()
		rounds[round]++
		return db.PlanHead{AsOf: of.AsOf, Finish: better}, nil
	})
	for range 3 {
		other, _ := at(t, address)
		works(t, other, heavy)
	}
	s := shelf{t, store, job.ID}
	s.save(1, 20000, "quick", true)
	s.save(1, 20001, "of a day that somebody asked for", false)
	until(t, "the search is done", inState(t, store, job.ID, db.SearchDone))

	if _, kept, err := store.BetterPlan(t.Context(), s.of(1, 20000), db.Pack(s.plan("better")), 1); err != nil || !kept {
		t.Fatal(kept, err)
	}
	time.Sleep(200 * time.Millisecond) // ten looks
	found := searches(t, store, job.ID)
	if len(found) != 1 || found[0].Round != 2 || found[0].Rounds != 2 || !found[0].Finish.Equal(better) || found[0].Begun == nil || found[0].Ended == nil {
		t.Errorf("searches: %+v", found)
	}
	mu.Lock()
	defer mu.Unlock()
	if len(rounds) != 2 || rounds[1] != 1 || rounds[2] != 1 {
		t.Errorf("rounds were searched so often: %v", rounds)
	}
}

func TestProofEndsASearch(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	put(t, store, job)
	works(t, store, brisk(func(_ context.Context, of db.PlanOf, _ int) (db.PlanHead, error) {
		return db.PlanHead{AsOf: of.AsOf, Finish: noon(), Proven: true}, nil
	}))
	shelf{t, store, job.ID}.save(1, 20000, "quick", true)
	until(t, "the search is done", inState(t, store, job.ID, db.SearchDone))
	if f := searches(t, store, job.ID)[0]; f.Round != 1 || !f.Proven {
		t.Errorf("ended as %+v", f)
	}
}

// TestSearchMovesOn stops the process that searches: another one goes on.
func TestSearchMovesOn(t *testing.T) {
	t.Parallel()
	address := dbtest.Address(t)
	first, _ := at(t, address)
	job := everyFeature(t)
	put(t, first, job)
	begun := make(chan struct{})
	stop := works(t, first, brisk(func(ctx context.Context, _ db.PlanOf, _ int) (db.PlanHead, error) {
		close(begun)
		<-ctx.Done()
		return db.PlanHead{}, ctx.Err()
	}))
	shelf{t, first, job.ID}.save(1, 20000, "quick", true)
	<-begun
	if !inState(t, first, job.ID, db.SearchRunning)() {
		t.Errorf("while it runs: %+v", searches(t, first, job.ID))
	}
	stop()
	second, _ := at(t, address)
	works(t, second, brisk(func(_ context.Context, of db.PlanOf, _ int) (db.PlanHead, error) {
		return db.PlanHead{AsOf: of.AsOf, Finish: noon()}, nil
	}))
	until(t, "the search is done elsewhere", inState(t, second, job.ID, db.SearchDone))
}

func TestOvertakenSearchesEnd(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	put(t, store, job)
	var n atomic.Int64
	begun := make(chan struct{}, 10)
	works(t, store, brisk(func(_ context.Context, of db.PlanOf, _ int) (db.PlanHead, error) {
		n.Add(1)
		begun <- struct{}{}
		if of.Revision == 1 {
			return db.PlanHead{}, db.ErrStale
		}
		return db.PlanHead{AsOf: of.AsOf, Finish: noon(), Proven: true}, nil
	}))
	s := shelf{t, store, job.ID}
	s.save(1, 20000, "quick", true)
	<-begun
	until(t, "the search is given up", inState(t, store, job.ID, db.SearchOvertaken))
	change(t, store, job.ID, "kim", func(j *scheduler.Job) { j.Title = "Two" })
	s.save(2, 20000, "quick", true)
	until(t, "the next one is done", inState(t, store, job.ID, db.SearchDone))
	if found := searches(t, store, job.ID); len(found) != 2 || found[1].State != db.SearchOvertaken || n.Load() != 2 {
		t.Errorf("%d rounds, searches %+v", n.Load(), found)
	}
}

// TestRoundsThatTakeTooLongEnd: what comes up against the limit has done what it could.
func TestRoundsThatTakeTooLongEnd(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	put(t, store, job)
	heavy := brisk(func(ctx context.Context, _ db.PlanOf, _ int) (db.PlanHead, error) {
		<-ctx.Done()
		return db.PlanHead{}, ctx.Err()
	})
	heavy.Limit = 2 * time.Second
	works(t, store, heavy)
	shelf{t, store, job.ID}.save(1, 20000, "quick", true)
	until(t, "the search is done", inState(t, store, job.ID, db.SearchDone))
}

func TestComparisons(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	put(t, store, job)
	var n atomic.Int64
	heavy := brisk(nil)
	heavy.Compare = func(_ context.Context, c db.ComparisonOf) ([]byte, error) {
		n.Add(1)
		if c.Against == "Z" {
			return nil, scheduler.ErrNotFound
		}
		return []byte(`{"against": "` + c.Against + `"}`), nil
	}
	of := db.ComparisonOf{Job: job.ID, Revision: 1, Against: "A", AsOf: 20000}
	if _, err := store.Comparison(t.Context(), of); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("before it was asked for: %v", err)
	}
	for range 2 {
		if c, err := store.AskForComparison(t.Context(), of); err != nil || c.State != db.ComparisonWaiting {
			t.Fatalf("%+v, %v", c, err)
		}
	}
	missing := of
	missing.Against = "Z"
	if lag, err := store.Lag(t.Context()); err != nil || lag.Waiting != 1 || lag.Running != 0 {
		t.Errorf("%d wait and %d run, %v: want one that waits", lag.Waiting, lag.Running, err)
	}
	if _, err := store.AskForComparison(t.Context(), missing); err != nil {
		t.Fatal(err)
	}
	works(t, store, heavy)
	state := func(of db.ComparisonOf, is db.ComparisonState) func() bool {
		return func() bool {
			c, err := store.Comparison(t.Context(), of)
			return err == nil && c.State == is && c.Ended != nil
		}
	}
	until(t, "it is made", state(of, db.ComparisonDone))
	until(t, "the one with nothing is given up", state(missing, db.ComparisonGivenUp))
	if c, err := store.AskForComparison(t.Context(), of); err != nil || string(c.Outcome) != `{"against": "A"}` {
		t.Errorf("%s, %v", c.Outcome, err)
	}
	if n.Load() != 2 {
		t.Errorf("%d were made, want one of each", n.Load())
	}
	of.Job = "none"
	if _, err := store.AskForComparison(t.Context(), of); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("of no job: %v", err)
	}
}
