package office

import (
	"context"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// History is the lines of a job's history before a revision, the newest first; with
// before 0 from the newest on.
func (o *Office) History(ctx context.Context, id scheduler.ID, before int64, limit int) ([]db.HistoryLine, error) {
	return o.store.History(ctx, id, before, limit)
}

// Revisions is the changes of a job as wholes, in the same order.
func (o *Office) Revisions(ctx context.Context, id scheduler.ID, before int64, limit int) ([]db.Revision, error) {
	return o.store.Revisions(ctx, id, before, limit)
}

// JobAt is a job as it was at a revision.
func (o *Office) JobAt(ctx context.Context, id scheduler.ID, revision int64) (*scheduler.Job, error) {
	return o.store.JobAt(ctx, id, revision)
}

// Undo takes a change back, as db.Store.Undo does, and sets the planning of the new
// revision going.
func (o *Office) Undo(ctx context.Context, id scheduler.ID, revision int64, mine bool, e db.Edit) (int64, error) {
	return o.edited(ctx, id, func() (int64, error) { return o.store.Undo(ctx, id, revision, mine, e) })
}
