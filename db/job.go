package db

import (
	"context"
	"errors"
	"fmt"
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
	var is standing
	err := s.pool.QueryRow(ctx, `SELECT revision, changed_at FROM job WHERE id = $1`, string(id)).Scan(&is.revision, &is.changed)
	if errors.Is(err, pgx.ErrNoRows) {
		s.held.forget(id)
		return nil, 0, notFound(id)
	}
	if err != nil {
		return nil, 0, fmt.Errorf("read job %q: %w", id, explain(err))
	}
	if found := s.held.find(id, is); found != nil {
		return found.job, found.revision, nil
	}
	state, err := load(ctx, s.pool, id)
	if err != nil {
		return nil, 0, err
	}
	s.held.keep(id, state)
	return state.job, state.revision, nil
}
