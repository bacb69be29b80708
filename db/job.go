package db

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// JobHead is a job without its content.
type JobHead struct {
	ID       scheduler.ID
	Title    string
	Revision int64
	Changed  time.Time
}

// Jobs lists the jobs by ID.
func (s *Store) Jobs(ctx context.Context) ([]JobHead, error) {
	rows, err := s.pool.Query(ctx, `SELECT id, title, revision, changed_at FROM job ORDER BY id`)
	if err != nil {
		return nil, explain(err)
	}
	heads, err := pgx.CollectRows(rows, pgx.RowToStructByPos[JobHead])
	return heads, explain(err)
}

// Job is the newest state of a job with its revision; scheduler.ErrNotFound when
// there is none of that ID.
func (s *Store) Job(ctx context.Context, id scheduler.ID) (*scheduler.Job, int64, error) {
	state, err := load(ctx, s.pool, id)
	if err != nil {
		return nil, 0, err
	}
	return state.job, state.revision, nil
}
