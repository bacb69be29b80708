package office

import (
	"context"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// Commit applies a change to the current revision of a job in one transaction,
// sets the planning of the new revision going and tells who watches. It returns
// the new revision as soon as it is kept; Sheet then waits for its plan.
//
// Errors of the change itself come back as they are; those of the edit and of the
// changed job are db.Store.Change's. After an error nothing has changed.
func (o *Office) Commit(ctx context.Context, id scheduler.ID, e db.Edit, change func(*scheduler.Job) error) (int64, error) {
	return o.edited(ctx, id, func() (int64, error) { return o.store.Change(ctx, id, e, change) })
}

// Change is Commit, and then the sheet of the new revision. When only the
// planning fails, the error says so although the change is kept.
func (o *Office) Change(ctx context.Context, id scheduler.ID, e db.Edit, change func(*scheduler.Job) error) (*Sheet, error) {
	if _, err := o.Commit(ctx, id, e, change); err != nil {
		return nil, err
	}
	return o.Sheet(ctx, id, nil)
}

// Rename gives a thing of a job another name, with all that speaks of it, and sets the
// planning going as Commit does. Errors are those of the store.
func (o *Office) Rename(ctx context.Context, id scheduler.ID, e db.Edit, thing scheduler.Named, to scheduler.ID) (int64, error) {
	return o.edited(ctx, id, func() (int64, error) { return o.store.Rename(ctx, id, e, thing, to) })
}

// Put keeps a whole job, new or in place of the one of the same ID, and sets its
// planning going. Errors are those of the store.
func (o *Office) Put(ctx context.Context, job *scheduler.Job, e db.Edit) (int64, error) {
	return o.edited(ctx, job.ID, func() (int64, error) { return o.store.Put(ctx, job, e) })
}

// edited makes a change of a job in the store and follows the revision that came of it.
func (o *Office) edited(ctx context.Context, id scheduler.ID, edit func() (int64, error)) (int64, error) {
	o.asked.Add(1)
	revision, err := edit()
	if err != nil {
		return 0, err
	}
	o.follow(ctx, id, revision)
	return revision, nil
}

// runner plans the revisions of one job ahead of the asking, one after the other and
// always the newest.
type runner struct{ again bool }

// follow tells the watchers of a new revision and plans it ahead of the asking.
func (o *Office) follow(ctx context.Context, id scheduler.ID, revision int64) {
	o.tell(db.Word{Job: id, Revision: revision, Kind: db.RevisionWord})
	o.mu.Lock()
	defer o.mu.Unlock()
	if r := o.ahead[id]; r != nil {
		r.again = true
		return
	}
	o.runAhead(ctx, id)
}

// runAhead begins to plan the newest revision of a job, which nobody here does yet. It is
// called with mu held.
func (o *Office) runAhead(ctx context.Context, id scheduler.ID) {
	if !o.begin() {
		return
	}
	r := &runner{}
	o.ahead[id] = r
	ctx = o.within(ctx)
	go func() {
		defer o.running.Done()
		for more := true; more; more = o.goesOn(id, r) {
			if _, err := o.Sheet(ctx, id, nil); err != nil && o.ctx.Err() == nil {
				o.log.Error().Err(err).Str("job", string(id)).Msg("the new revision could not be planned")
			}
		}
	}()
}

// goesOn says whether there was another revision while the runner ran.
func (o *Office) goesOn(id scheduler.ID, r *runner) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if r.again && o.ctx.Err() == nil {
		r.again = false
		return true
	}
	delete(o.ahead, id)
	return false
}
