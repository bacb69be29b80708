package db_test

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

func TestPlanComesBack(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	revision := put(t, store, job)
	plan, err := planner.Plan(t.Context(), job, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	of := db.PlanOf{Job: job.ID, Revision: revision, AsOf: *job.AsOf}
	head, kept, err := store.SavePlan(t.Context(), of, db.Pack(plan), true)
	if err != nil || !kept {
		t.Fatal(kept, err)
	}
	want := db.PlanHead{AsOf: of.AsOf, Take: 1, Finish: plan.Finish, Proven: plan.Proven}
	if d := cmp.Diff(want, head, same); d != "" {
		t.Errorf("the head is\n%s", d)
	}
	back, head, err := store.LoadPlan(t.Context(), of)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, head, same); d != "" {
		t.Errorf("the head came back otherwise:\n%s", d)
	}
	if d := cmp.Diff(plan, back, same); d != "" {
		t.Errorf("the plan came back otherwise:\n%s", d)
	}
	heads, err := store.PlanHeads(t.Context(), job.ID, revision)
	if d := cmp.Diff([]db.PlanHead{want}, heads, same); err != nil || d != "" {
		t.Errorf("the list of heads: %v\n%s", err, d)
	}
	zone, err := time.LoadLocation(plan.Zone)
	if err != nil {
		t.Fatal(err)
	}
	const layout = "2006-01-02 15:04"
	if got, want := back.Finish.Format(layout), plan.Finish.In(zone).Format(layout); got != want {
		t.Errorf("the finish reads %s, want %s, in the zone of the job", got, want)
	}
}

// shelf keeps empty plans of one job by their titles.
type shelf struct {
	t     *testing.T
	store *db.Store
	job   scheduler.ID
}

func newShelf(t *testing.T) shelf {
	t.Helper()
	t.Parallel()
	var asked atomic.Int64
	store := dbtest.Open(t, func() time.Time { return noon().Add(time.Duration(asked.Add(1)) * time.Second) })
	job := everyFeature(t)
	put(t, store, job)
	return shelf{t, store, job.ID}
}

func (s shelf) of(revision int64, day worktime.Date) db.PlanOf {
	return db.PlanOf{Job: s.job, Revision: revision, AsOf: day}
}

func (s shelf) plan(title string) *scheduler.Plan {
	return &scheduler.Plan{Job: s.job, Title: title, Engine: planner.Engine}
}

func (s shelf) save(revision int64, day worktime.Date, title string, usual bool) bool {
	s.t.Helper()
	_, kept, err := s.store.SavePlan(s.t.Context(), s.of(revision, day), db.Pack(s.plan(title)), usual)
	if err != nil {
		s.t.Fatal(err)
	}
	return kept
}

// want holds the title and take of a plan against what they should be; no title: there
// is none.
func (s shelf) want(revision int64, day worktime.Date, title string, take int) {
	s.t.Helper()
	plan, head, err := s.store.LoadPlan(s.t.Context(), s.of(revision, day))
	switch {
	case title != "" && (err != nil || plan.Title != title || head.Take != take):
		s.t.Errorf("revision %d as of %s: take %d, %v", revision, day, head.Take, err)
	case title == "" && !errors.Is(err, scheduler.ErrNotFound):
		s.t.Errorf("revision %d as of %s is there still (%v)", revision, day, err)
	}
}

func TestPlansThatAreKept(t *testing.T) {
	s := newShelf(t)
	for day := range worktime.Date(20) {
		s.save(1, 20000+day, "one", true)
	}
	s.want(1, 20000, "", 0) // the oldest of many
	s.want(1, 20019, "one", 1)
	s.save(2, 20000, "asked for", false)
	s.want(1, 20019, "one", 1) // the plan of the next revision is to be near it
	s.save(2, 20001, "two", true)
	s.want(1, 20019, "", 0)        // superseded
	s.save(1, 20001, "late", true) // long in the making, of what is superseded
	s.want(1, 20001, "", 0)
	s.want(2, 20000, "asked for", 1)
	s.want(3, 20000, "", 0)
}

func TestTheFirstPlanStaysUntilABetterOneComes(t *testing.T) {
	s := newShelf(t)
	if !s.save(1, 20000, "first", true) || s.save(1, 20000, "second", true) {
		t.Error("of two plans of the same not just the first was kept")
	}
	s.want(1, 20000, "first", 1)
	if _, kept, err := s.store.BetterPlan(t.Context(), s.of(1, 20000), db.Pack(s.plan("better")), 1); err != nil || !kept {
		t.Fatalf("a better one: %v, %v", kept, err)
	}
	s.want(1, 20000, "better", 2)
	if _, kept, err := s.store.BetterPlan(t.Context(), s.of(1, 20000), db.Pack(s.plan("too late")), 1); err != nil || kept {
		t.Errorf("one that is better than what is there no more was kept (%v)", err)
	}
	if _, kept, err := s.store.BetterPlan(t.Context(), s.of(2, 20000), db.Pack(s.plan("of nothing")), 1); err != nil || kept {
		t.Errorf("one was kept in the place of none (%v)", err)
	}
	if revision, take, err := s.store.Standing(t.Context(), s.job, 20000); err != nil || revision != 1 || take != 2 {
		t.Errorf("the job stands at revision %d, take %d (%v)", revision, take, err)
	}
	if revision, take, err := s.store.Standing(t.Context(), s.job, 20001); err != nil || revision != 1 || take != 0 {
		t.Errorf("as of a day without a plan it stands at revision %d, take %d (%v)", revision, take, err)
	}
	older := s.plan("of another solver")
	older.Engine--
	if _, kept, err := s.store.SavePlan(t.Context(), s.of(1, 20000), db.Pack(older), true); err != nil || !kept {
		t.Errorf("a plan of another solver does not make room: %v, %v", kept, err)
	}
	s.want(1, 20000, "of another solver", 3)
}

func TestPlanBefore(t *testing.T) {
	s := newShelf(t)
	want := func(revision int64, day worktime.Date, title string) {
		t.Helper()
		plan, err := s.store.PlanBefore(t.Context(), s.of(revision, day), 0)
		switch {
		case title == "" && !errors.Is(err, scheduler.ErrNotFound):
			t.Errorf("before revision %d as of %s: %v, want none", revision, day, err)
		case title != "" && (err != nil || plan.Title != title):
			t.Errorf("before revision %d as of %s: %v, want %s", revision, day, err, title)
		}
	}
	want(1, 20000, "")
	s.save(1, 20000, "one", true)
	want(1, 20000, "")
	want(1, 20001, "one") // on the next day
	s.save(2, 20005, "asked for", false)
	want(2, 20006, "one")
	s.save(3, 20000, "three", true)
	want(5, 20000, "three")
	if _, err := s.store.PlanBefore(t.Context(), s.of(5, 20000), 3); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("one that is known already came again (%v)", err)
	}
}

func TestPlanOfNoJob(t *testing.T) {
	store := open(t)
	of := db.PlanOf{Job: "none", Revision: 1, AsOf: 20000}
	if _, _, err := store.SavePlan(t.Context(), of, db.Pack(&scheduler.Plan{}), true); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("saving gave %v", err)
	}
	if _, _, err := store.Standing(t.Context(), "none", 20000); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("where it stands: %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, _, err := store.LoadPlan(ctx, of); !errors.Is(err, context.Canceled) {
		t.Errorf("loading in a request that is over gave %v", err)
	}
	if _, err := store.PlanBefore(ctx, of, 0); !errors.Is(err, context.Canceled) {
		t.Errorf("looking for the plan before gave %v", err)
	}
	if _, err := store.PlanHeads(ctx, "none", 1); !errors.Is(err, context.Canceled) {
		t.Errorf("listing gave %v", err)
	}
}
