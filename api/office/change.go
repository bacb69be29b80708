package office

import (
	"context"

	"gaugerod/scheduler"
)

// Commit applies a change to the current revision of a job in one transaction,
// sets the planning of the new revision going and tells who watches. It returns
// the new revision as soon as it is kept; Sheet then waits for its plan. With
// at > 0 the change is refused with db.ErrStale unless that revision is current.
//
// Errors of the change itself come back as they are; scheduler.ErrNotFound and
// scheduler.Faults (the changed job is unsound) from the store. After an error
// nothing has changed.
func (o *Office) Commit(ctx context.Context, id scheduler.ID, at int64, by string, change func(*scheduler.Job) error) (int64, error) {
	var revision int64
	var err error
	if at > 0 {
		revision, err = o.store.ChangeAt(ctx, id, at, by, change)
	} else {
		revision, err = o.store.Change(ctx, id, by, change)
	}
	if err != nil {
		return 0, err
	}
	o.follow(id, revision)
	return revision, nil
}

// Change is Commit, and then the sheet of the new revision. When only the
// planning fails, the error says so although the change is kept.
func (o *Office) Change(ctx context.Context, id scheduler.ID, by string, change func(*scheduler.Job) error) (*Sheet, error) {
	if _, err := o.Commit(ctx, id, 0, by, change); err != nil {
		return nil, err
	}
	return o.Sheet(ctx, id, nil)
}

// Put keeps a whole job, new or in place of the one of the same ID, and sets its
// planning going. Errors are those of the store.
func (o *Office) Put(ctx context.Context, job *scheduler.Job, by string) (int64, error) {
	revision, err := o.store.Put(ctx, job, by)
	if err != nil {
		return 0, err
	}
	o.follow(job.ID, revision)
	return revision, nil
}

// follow tells the watchers of a new revision and plans it ahead of the asking.
func (o *Office) follow(id scheduler.ID, revision int64) {
	o.tell(id, revision)
	if !o.begin() {
		return
	}
	go func() {
		defer o.running.Done()
		if _, err := o.Sheet(o.ctx, id, nil); err != nil && o.ctx.Err() == nil {
			o.log.Error().Err(err).Str("job", string(id)).Int64("revision", revision).Msg("the new revision could not be planned")
		}
	}()
}
