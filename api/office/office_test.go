package office_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/rs/zerolog"
	"go.uber.org/goleak"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

func TestMain(m *testing.M) {
	code := dbtest.Main(m)
	if err := goleak.Find(); err != nil && code == 0 {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

var shed = scheduler.Job{
	ID: "shed", Title: "Shed", Zone: "Europe/Vienna", Start: worktime.NewDate(2026, 3, 2),
	Week: worktime.Week{1: {{From: 8 * 60, To: 12 * 60}}},
}

// clock is half past eleven at night in UTC: half past one the next day in Vienna.
func clock() time.Time { return time.Date(2026, 6, 1, 23, 30, 0, 0, time.UTC) }

// counted is a planner that counts its plans and names what it planned.
func counted(n *atomic.Int64) office.Planner {
	return func(_ context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		n.Add(1)
		return &scheduler.Plan{Engine: planner.Engine, Job: j.ID, Title: j.Title + " as of " + asOf.String()}, nil
	}
}

func open(t *testing.T, store office.Store, planner office.Planner) *office.Office {
	t.Helper()
	o := office.New(store, clock, zerolog.New(io.Discard), office.WithPlanner(planner))
	t.Cleanup(o.Close)
	return o
}

func sheet(t *testing.T, o *office.Office, asOf *worktime.Date) *office.Sheet {
	t.Helper()
	s, err := o.Sheet(context.Background(), "shed", asOf)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestAsOf(t *testing.T) {
	var n atomic.Int64
	o := open(t, newMemory(shed), counted(&n))
	if got := sheet(t, o, nil).AsOf.String(); got != "2026-06-02" {
		t.Errorf("as of %s, want today in the job's zone", got)
	}
	asked := worktime.NewDate(2026, 5, 4)
	if got := sheet(t, o, &asked); got.AsOf != asked || got.Plan.Title != "Shed as of 2026-05-04" {
		t.Errorf("as of %s, %q", got.AsOf, got.Plan.Title)
	}
	still := shed
	still.AsOf = &asked
	if day, err := o.AsOf(&still); err != nil || day != asked {
		t.Errorf("as of %v, %v: want the job's own day", day, err)
	}
	if now, err := o.Now(&shed); err != nil || now.String() != "2026-06-02 01:30" {
		t.Errorf("now is %v, %v", now, err)
	}
	if now, err := o.Now(&still); err != nil || now.String() != "2026-05-04" {
		t.Errorf("now is %v, %v", now, err)
	}
	for _, far := range []worktime.Date{worktime.NewDate(1, 1, 1), worktime.NewDate(9999, 12, 31)} {
		if _, err := o.Sheet(context.Background(), "shed", &far); !errors.Is(err, scheduler.ErrImpossible) {
			t.Errorf("planned as of %s: %v", far, err)
		}
	}
	nowhere := shed
	nowhere.Zone = "Nowhere/Land"
	if _, err := o.AsOf(&nowhere); err == nil {
		t.Error("a zone that does not exist went through")
	}
}

func TestPlanIsMadeOnceAndKept(t *testing.T) {
	var n atomic.Int64
	store := newMemory(shed)
	o := open(t, store, counted(&n))
	for range 3 {
		sheet(t, o, nil)
	}
	if n.Load() != 1 {
		t.Fatalf("planned %d times", n.Load())
	}
	// Another office over the same store finds the plan there.
	if sheet(t, open(t, store, counted(&n)), nil); n.Load() != 1 {
		t.Fatalf("planned %d times although the plan was stored", n.Load())
	}
	// More days than are kept still come out right.
	for day := worktime.Date(20000); day < 20020; day++ {
		if got := sheet(t, o, &day); got.AsOf != day {
			t.Fatalf("as of %s, want %s", got.AsOf, day)
		}
	}
	if n.Load() != 21 {
		t.Fatalf("planned %d times, want 21", n.Load())
	}
}

func TestManyAskersOnePlanning(t *testing.T) {
	var n atomic.Int64
	release := make(chan struct{})
	count := counted(&n)
	o := open(t, newMemory(shed), func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		<-release
		return count(ctx, j, asOf)
	})
	gone, leave := context.WithCancel(context.Background())
	leave()
	if _, err := o.Sheet(gone, "shed", nil); !errors.Is(err, context.Canceled) {
		t.Fatalf("got %v, want the asker's own cancellation", err)
	}
	var wg sync.WaitGroup
	sheets := make([]*office.Sheet, 10)
	for k := range sheets {
		wg.Go(func() { sheets[k], _ = o.Sheet(context.Background(), "shed", nil) })
	}
	close(release)
	wg.Wait()
	for _, s := range sheets {
		if s == nil || s.Plan != sheets[0].Plan {
			t.Fatal("askers got different plans")
		}
	}
	if n.Load() != 1 {
		t.Fatalf("planned %d times", n.Load())
	}
}

func TestChangePlansTheNewRevision(t *testing.T) {
	var n atomic.Int64
	store := newMemory(shed)
	o := open(t, store, counted(&n))
	sheet(t, o, nil)
	s, err := o.Change(context.Background(), "shed", db.By("kim"), func(j *scheduler.Job) error { j.Title = "Big shed"; return nil })
	if err != nil || s.Revision != 2 || !strings.HasPrefix(s.Plan.Title, "Big shed") {
		t.Fatalf("%+v, %v", s, err)
	}
	refused := errors.New("no")
	if _, err := o.Change(context.Background(), "shed", db.By("kim"), func(*scheduler.Job) error { return refused }); !errors.Is(err, refused) {
		t.Fatalf("got %v", err)
	}
	if _, err := o.Commit(context.Background(), "shed", db.Edit{By: db.Author{Name: "kim"}, At: 1}, func(*scheduler.Job) error { return nil }); !errors.Is(err, db.ErrStale) {
		t.Fatalf("got %v, want stale", err)
	}
	if revision, err := o.Commit(context.Background(), "shed", db.Edit{By: db.Author{Name: "kim"}, At: 2}, func(*scheduler.Job) error { return nil }); err != nil || revision != 3 {
		t.Fatalf("%d, %v", revision, err)
	}
	if revision, err := o.Put(context.Background(), &shed, db.By("kim")); err != nil || revision != 4 {
		t.Fatalf("%d, %v", revision, err)
	}
	if s := sheet(t, o, nil); s.Revision != 4 || !strings.HasPrefix(s.Plan.Title, "Shed") {
		t.Fatalf("%+v", s)
	}
	if lines, err := o.History(context.Background(), "shed", 0, 10); err != nil || len(lines) != 1 {
		t.Fatalf("%v, %v", lines, err)
	}
}

// TestPlansOfAnotherEngineAreMadeAnew: a stored plan is what this solver would say,
// or it is not used.
func TestPlansOfAnotherEngineAreMadeAnew(t *testing.T) {
	var n atomic.Int64
	store := newMemory(shed)
	older := func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		p, err := counted(&n)(ctx, j, asOf)
		p.Engine--
		return p, err
	}
	sheet(t, open(t, store, older), nil)
	if got := sheet(t, open(t, store, counted(&n)), nil); n.Load() != 2 || got.Plan.Engine != planner.Engine {
		t.Errorf("planned %d times, by engine %d", n.Load(), got.Plan.Engine)
	}
}

// TestCommitPlansAhead: nobody asks for the plan, and it is stored all the same.
func TestCommitPlansAhead(t *testing.T) {
	var n atomic.Int64
	store := newMemory(shed)
	o := office.New(store, clock, zerolog.New(io.Discard), office.WithPlanner(counted(&n)))
	if _, err := o.Commit(context.Background(), "shed", db.Edit{By: db.Author{Name: "kim"}, At: 0}, func(*scheduler.Job) error { return nil }); err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(5 * time.Second); ; time.Sleep(time.Millisecond) {
		if _, _, err := store.LoadPlan(context.Background(), db.PlanOf{Job: "shed", Revision: 2, AsOf: worktime.NewDate(2026, 6, 2)}); err == nil {
			break
		}
		if time.Now().After(end) {
			t.Fatal("the new revision was not planned ahead")
		}
	}
	o.Close()
}

func TestWatchersHearTheNewest(t *testing.T) {
	var n atomic.Int64
	store := newMemory(shed)
	o := open(t, store, counted(&n))
	watch, other := o.Subscribe("shed"), o.Subscribe("barn")
	defer other.Stop()
	for range 3 {
		if _, err := o.Change(context.Background(), "shed", db.By("kim"), func(*scheduler.Job) error { return nil }); err != nil {
			t.Fatal(err)
		}
	}
	<-watch.News
	want := func(revision int64, isNew bool, takes ...int) {
		t.Helper()
		gotRevision, gotNew, plans := watch.Take()
		var got []int
		for _, p := range plans {
			got = append(got, p.Take)
		}
		if gotRevision != revision || gotNew != isNew || !slices.Equal(got, takes) {
			t.Errorf("took revision %d (new: %v) and takes %v, want %d (%v) and %v", gotRevision, gotNew, got, revision, isNew, takes)
		}
	}
	want(4, true, 1) // the newest of three, with its plan
	want(4, false)
	if err := watch.Look(context.Background()); err != nil {
		t.Fatal(err)
	}
	want(4, false)

	// What another instance changes comes through the database; what is known does not come twice.
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error)
	go func() { done <- o.Listen(ctx) }()
	heard := <-store.heard
	revision := func(r int64) db.Word { return db.Word{Job: "shed", Revision: r, Kind: db.RevisionWord} }
	plan := func(r int64, take int) db.Word {
		return db.Word{Job: "shed", Revision: r, Kind: db.PlanWord, Plan: &db.PlanHead{AsOf: 20000, Take: take}}
	}
	heard(revision(4))
	want(4, false)
	heard(revision(5))
	heard(plan(5, 1))
	heard(plan(4, 2)) // late, of what is superseded
	want(5, true, 1)
	heard(plan(5, 1))
	want(5, false)
	heard(plan(5, 2))
	heard(plan(5, 3))
	want(5, false, 3)
	heard(plan(7, 1)) // before word of its revision
	want(7, true, 1)
	watch.Stop()
	heard(revision(8))
	want(7, false)
	if revision, isNew, _ := other.Take(); isNew {
		t.Errorf("heard of another job's revision %d", revision)
	}
	cancel()
	if err := <-done; !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
}

func TestFailures(t *testing.T) {
	ctx := context.Background()
	broken := errors.New("broken")
	var n atomic.Int64
	t.Run("no such job", func(t *testing.T) {
		o := open(t, newMemory(), counted(&n))
		if _, err := o.Sheet(ctx, "shed", nil); !errors.Is(err, scheduler.ErrNotFound) {
			t.Fatal(err)
		}
		if _, _, err := o.Job(ctx, "shed"); !errors.Is(err, scheduler.ErrNotFound) {
			t.Fatal(err)
		}
	})
	t.Run("planner fails", func(t *testing.T) {
		o := open(t, newMemory(shed), func(context.Context, *scheduler.Job, worktime.Date) (*scheduler.Plan, error) { return nil, broken })
		if _, err := o.Sheet(ctx, "shed", nil); !errors.Is(err, broken) {
			t.Fatal(err)
		}
		if _, err := o.Change(ctx, "shed", db.By("kim"), func(*scheduler.Job) error { return nil }); !errors.Is(err, broken) {
			t.Fatal(err)
		}
	})
	t.Run("planner breaks down", func(t *testing.T) {
		o := open(t, newMemory(shed), func(context.Context, *scheduler.Job, worktime.Date) (*scheduler.Plan, error) { panic("out of range") })
		if _, err := o.Sheet(ctx, "shed", nil); err == nil || !strings.Contains(err.Error(), "out of range") {
			t.Fatal(err)
		}
	})
	t.Run("plan cannot be stored or read", func(t *testing.T) {
		store := newMemory(shed)
		store.failLoad, store.failSave = broken, broken
		var log strings.Builder
		o := office.New(store, clock, zerolog.New(&log), office.WithPlanner(counted(&n)))
		defer o.Close()
		if _, err := o.Sheet(ctx, "shed", nil); err != nil {
			t.Fatalf("the plan is there all the same: %v", err)
		}
		if strings.Count(log.String(), `"error":"broken"`) != 3 { // before and after the claim, and then keeping it
			t.Fatalf("the log is silent: %s", log.String())
		}
	})
	t.Run("closed", func(t *testing.T) {
		started := make(chan struct{})
		o := office.New(newMemory(shed), clock, zerolog.New(io.Discard), office.WithPlanner(
			func(ctx context.Context, _ *scheduler.Job, _ worktime.Date) (*scheduler.Plan, error) {
				close(started)
				<-ctx.Done()
				return nil, ctx.Err()
			}))
		answer := make(chan error)
		go func() { _, err := o.Sheet(ctx, "shed", nil); answer <- err }()
		<-started
		o.Close()
		if err := <-answer; !errors.Is(err, context.Canceled) {
			t.Fatalf("got %v: planning was to be broken off", err)
		}
		if _, err := o.Sheet(ctx, "shed", nil); !errors.Is(err, office.ErrClosed) {
			t.Fatal(err)
		}
	})
}
