package office_test

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"time"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

// restless is a planner during whose first plans somebody else changes the job.
func restless(store *memory, times int64) office.Planner {
	var n atomic.Int64
	return func(_ context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		if k := n.Add(1); k <= times {
			if _, err := store.Change(context.Background(), j.ID, db.By("somebody"), func(j *scheduler.Job) error { j.Title += "!"; return nil }); err != nil {
				return nil, err
			}
		}
		return &scheduler.Plan{Engine: planner.Engine, Job: j.ID, Title: j.Title, AsOf: asOf.At(0, time.UTC).Time(time.UTC)}, nil
	}
}

func sendable() *memory {
	job := shed
	job.People = []scheduler.Person{{ID: "ida", Name: "Ida Example"}}
	return newMemory(job)
}

// TestIssueOfAJobThatChangesMeanwhile: what is sent out is the plan of the revision
// that it follows, never an older one.
func TestIssueOfAJobThatChangesMeanwhile(t *testing.T) {
	store := sendable()
	o := open(t, store, restless(store, 2))
	letter, revision, err := o.Issue(context.Background(), "shed", db.By("ida"), scheduler.Issue{By: "ida"})
	if err != nil || letter != "A" || revision != 4 {
		t.Fatalf("letter %q, revision %d, %v", letter, revision, err)
	}
	_, issued, moved, err := o.Moved(context.Background(), "shed", "")
	if err != nil || issued.Plan.Title != "Shed!!" || !moved.Nothing() {
		t.Errorf("sent out %+v, %v", issued, err)
	}
	job, _, _ := store.Job(context.Background(), "shed")
	if on := job.LastIssue().On; on != worktime.NewDate(2026, 6, 2) {
		t.Errorf("sent out on %s", on)
	}
}

func TestIssueFromARevision(t *testing.T) {
	store := sendable()
	o := open(t, store, restless(store, 1))
	e := db.By("ida")
	e.At = 1
	if _, _, err := o.Issue(context.Background(), "shed", e, scheduler.Issue{By: "ida"}); !errors.Is(err, db.ErrStale) {
		t.Errorf("the job has changed meanwhile: %v", err)
	}
	restlessly := open(t, store, restless(store, 1000))
	if _, _, err := restlessly.Issue(context.Background(), "shed", db.By("ida"), scheduler.Issue{By: "ida"}); !errors.Is(err, db.ErrStale) {
		t.Errorf("the job never stands still: %v", err)
	}
}

func TestNothingIssued(t *testing.T) {
	store := sendable()
	var n atomic.Int64
	o := open(t, store, counted(&n))
	if _, err := o.IssuedPlan(context.Background(), "shed", ""); !errors.Is(err, scheduler.ErrNotFound) || !errors.Is(err, office.ErrNoIssue) {
		t.Errorf("no issue: %v", err)
	}
	if _, err := o.IssuedPlan(context.Background(), "shed", "A"); !errors.Is(err, scheduler.ErrNotFound) || errors.Is(err, office.ErrPlanElsewhere) {
		t.Errorf("unknown letter: %v", err)
	}
	from := func(j *scheduler.Job) error {
		j.Issues = []scheduler.Issue{{Letter: "A", By: "ida"}}
		return nil
	}
	if _, err := o.Commit(context.Background(), "shed", db.By("ida"), from); err != nil {
		t.Fatal(err)
	}
	if _, err := o.IssuedPlan(context.Background(), "shed", ""); !errors.Is(err, scheduler.ErrNotFound) || !errors.Is(err, office.ErrPlanElsewhere) {
		t.Errorf("it came with a file: %v", err)
	}
}
