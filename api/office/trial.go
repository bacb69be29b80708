package office

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/trial"
	"gaugerod/scheduler/worktime"
)

// Trials is where trials are kept.
type Trials interface {
	MakeTrial(ctx context.Context, job scheduler.ID, title string, ops []trial.Op, e db.Edit) (db.Trial, error)
	Trials(ctx context.Context, job scheduler.ID) ([]db.Trial, error)
	Trial(ctx context.Context, job scheduler.ID, number int) (db.Trial, error)
	ChangeTrial(ctx context.Context, job scheduler.ID, number, seen int, e db.Edit, change func(*db.Trial) error) (db.Trial, error)
	ThrowTrialAway(ctx context.Context, job scheduler.ID, number, seen int, e db.Edit) error
	AdoptTrial(ctx context.Context, job scheduler.ID, number, seen int, e db.Edit) (int64, error)
}

// Trials is where trials are kept. What comes of one is asked of Try.
func (o *Office) Trials() Trials { return o.store }

// Tried is what comes of a trial: the plan as it stands, the one with the changes, and
// what differs. It is shared: nobody changes it.
type Tried struct {
	Now, Then *Sheet
	Moved     *compare.Comparison
	Fresh     []scheduler.Alert // those that only the trial's plan has
	Gone      []scheduler.Alert // those that it no longer has
}

// Try plans a job with changes, near the plan that people know. Nothing is kept but
// in memory, where the last few are found again.
//
// Errors are those of Sheet and of trial.Apply.
func (o *Office) Try(ctx context.Context, id scheduler.ID, ops []trial.Op) (*Tried, error) {
	now, err := o.Sheet(ctx, id, nil)
	if err != nil {
		return nil, err
	}
	if len(ops) == 0 {
		return &Tried{Now: now, Then: now, Moved: compare.Plans(now.Plan, now.Plan, now.Job)}, nil
	}
	key, err := triedOf(now, ops)
	if err != nil {
		return nil, err
	}
	if found := o.tried.find(key); found != nil {
		return found, nil
	}
	job, err := trial.Apply(now.Job, ops)
	if err != nil {
		return nil, err
	}
	then, err := o.changed(ctx, now, job)
	if err != nil {
		return nil, err
	}
	t := &Tried{Now: now, Then: then, Moved: compare.Plans(now.Plan, then.Plan, then.Job)}
	t.Fresh, t.Gone = compare.Alerts(now.Plan, then.Plan)
	o.tried.keep(key, t)
	return t, nil
}

// triedKey is what the outcome of a trial depends on.
type triedKey struct {
	job      scheduler.ID
	revision int64
	day      worktime.Date
	take     int
	ops      string
}

func triedOf(now *Sheet, ops []trial.Op) (triedKey, error) {
	text, err := json.Marshal(ops)
	return triedKey{now.Job.ID, now.Revision, now.AsOf, now.Take, string(text)}, err
}

// MakeTrial begins a trial with changes that the job as it stands takes.
func (o *Office) MakeTrial(ctx context.Context, id scheduler.ID, title string, ops []trial.Op, e db.Edit) (db.Trial, error) {
	job, _, err := o.Job(ctx, id)
	if err != nil {
		return db.Trial{}, err
	}
	if ops, err = trial.Add(job, nil, ops...); err != nil {
		return db.Trial{}, err
	}
	return o.store.MakeTrial(ctx, id, title, ops, e)
}

// AddToTrial puts more changes into a trial, each in the place of an earlier one about
// the same, if the job as it stands takes them.
func (o *Office) AddToTrial(ctx context.Context, id scheduler.ID, number, seen int, ops []trial.Op, e db.Edit) (db.Trial, error) {
	job, _, err := o.Job(ctx, id)
	if err != nil {
		return db.Trial{}, err
	}
	return o.store.ChangeTrial(ctx, id, number, seen, e, func(t *db.Trial) (err error) {
		t.Ops, err = trial.Add(job, t.Ops, ops...)
		return err
	})
}

// TakeOutOfTrial takes the change at a place in the list, from 1, out of a trial as it
// was seen.
func (o *Office) TakeOutOfTrial(ctx context.Context, id scheduler.ID, number, seen, at int, e db.Edit) (db.Trial, error) {
	return o.store.ChangeTrial(ctx, id, number, seen, e, func(t *db.Trial) error {
		if at < 1 || at > len(t.Ops) {
			return fmt.Errorf("change %d of trial %d: %w", at, number, scheduler.ErrNotFound)
		}
		t.Ops = slices.Delete(slices.Clone(t.Ops), at-1, at)
		return nil
	})
}

// AdoptTrial makes all changes of a trial, as it was seen, in one change of the job
// and sets its planning going.
func (o *Office) AdoptTrial(ctx context.Context, id scheduler.ID, number, seen int, e db.Edit) (int64, error) {
	return o.edited(ctx, id, func() (int64, error) { return o.store.AdoptTrial(ctx, id, number, seen, e) })
}
