package office_test

import (
	"context"
	"errors"
	"strings"
	"sync/atomic"
	"testing"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// atHand is what is at hand of the shed, and at which revision it is.
func atHand(t *testing.T, o *office.Office) (sheet *office.Sheet, newest int64) {
	t.Helper()
	sheet, newest, err := o.AtHand(t.Context(), "shed", nil)
	if err != nil {
		t.Fatal(err)
	}
	return sheet, newest
}

// extend makes the title of the shed longer.
func extend(j *scheduler.Job) error {
	j.Title += "."
	return nil
}

// commit changes the shed without waiting for its plan.
func commit(t *testing.T, o *office.Office) int64 {
	t.Helper()
	revision, err := o.Commit(t.Context(), "shed", db.By("kim"), extend)
	if err != nil {
		t.Fatal(err)
	}
	return revision
}

// TestAtHandIsThePlanBefore: while new revisions are planned, whoever would rather not wait
// has the sheet of the last one that was, at the instance that plans and at another, and
// the newest as soon as there is one.
func TestAtHandIsThePlanBefore(t *testing.T) {
	s := newSeveral(t, shed)
	var n atomic.Int64
	hold := make(chan struct{})
	plan := func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		if j.Title != shed.Title {
			<-hold
		}
		return counted(&n)(ctx, j, asOf)
	}
	one, two := s.open(plan), s.open(plan)
	for _, o := range []*office.Office{one, two} {
		if got, newest := atHand(t, o); got.Revision != 1 || newest != 1 {
			t.Fatalf("at first revision %d of %d", got.Revision, newest)
		}
	}
	for range 2 {
		revision := commit(t, one)
		for k, o := range []*office.Office{one, two} {
			got, newest := atHand(t, o)
			if got.Revision != 1 || newest != revision || got.Job.Title != shed.Title || !strings.HasPrefix(got.Plan.Title, shed.Title+" as") {
				t.Errorf("office %d has revision %d at hand and says the job is at %d, not 1 and %d", k+1, got.Revision, newest, revision)
			}
		}
	}
	late := s.open(plan) // has nothing at hand
	answer := asked(late)
	close(hold)
	if got := <-answer; got == nil || got.Revision != 3 {
		t.Errorf("who has nothing at hand gets %+v", got)
	}
	for k, o := range []*office.Office{one, two, late} {
		if got, newest := atHand(t, o); got.Revision != 3 || newest != 3 { // it is kept
			t.Errorf("once there is a plan, office %d has revision %d of %d at hand", k+1, got.Revision, newest)
		}
	}
}

// TestAtHandFollowsChanges: who was told of a change together with its plan finds it at
// every instance, whatever is at hand there.
func TestAtHandFollowsChanges(t *testing.T) {
	s := newSeveral(t, shed)
	var n atomic.Int64
	one, two := s.open(counted(&n)), s.open(counted(&n))
	for range 10 {
		told, err := one.Change(t.Context(), "shed", db.By("kim"), extend)
		if err != nil {
			t.Fatal(err)
		}
		for k, o := range []*office.Office{one, two} {
			if got, newest := atHand(t, o); got.Revision < told.Revision || newest < told.Revision {
				t.Fatalf("office %d has revision %d of %d at hand after %d was told", k+1, got.Revision, newest, told.Revision)
			}
		}
	}
}

// TestAtHandOfAnotherDay: what is at hand is of the day that is asked for, or it is not
// given.
func TestAtHandOfAnotherDay(t *testing.T) {
	var n atomic.Int64
	o := open(t, newMemory(shed), counted(&n))
	atHand(t, o)
	revision := commit(t, o)
	day := worktime.NewDate(2026, 5, 4)
	got, newest, err := o.AtHand(t.Context(), "shed", &day)
	if err != nil || got.AsOf != day || got.Revision != revision || newest != revision {
		t.Errorf("%+v of %d, %v", got, newest, err)
	}
}

// TestAtHandTellsWhatWentWrong: the plan before does not stand for ever for one that cannot
// be made.
func TestAtHandTellsWhatWentWrong(t *testing.T) {
	broken := errors.New("broken")
	var n atomic.Int64
	o := open(t, newMemory(shed), func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		if j.Title != shed.Title {
			return nil, broken
		}
		return counted(&n)(ctx, j, asOf)
	})
	atHand(t, o)
	commit(t, o)
	until(t, "it is told that the plan cannot be made", func() bool {
		_, _, err := o.AtHand(t.Context(), "shed", nil)
		return errors.Is(err, broken)
	})
	for range 3 {
		if _, _, err := o.AtHand(t.Context(), "shed", nil); !errors.Is(err, broken) {
			t.Errorf("then %v", err)
		}
	}
	if _, _, err := o.AtHand(t.Context(), "barn", nil); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("of a job that is not there: %v", err)
	}
}
