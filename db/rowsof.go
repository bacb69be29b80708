package db

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// rowsOf is what a statement lists of a job, and scheduler.ErrNotFound where there is no
// such job: both in one round trip. What names it in an error.
func rowsOf[T any](ctx context.Context, s *Store, job scheduler.ID, what string, scan pgx.RowToFunc[T], statement string, args ...any) (all []T, err error) {
	batch := &pgx.Batch{}
	batch.Queue(statement, args...).Query(func(rows pgx.Rows) (err error) {
		all, err = pgx.CollectRows(rows, scan)
		return err
	})
	var there bool
	batch.Queue(`SELECT EXISTS (SELECT FROM job WHERE id = $1)`, string(job)).QueryRow(func(row pgx.Row) error { return row.Scan(&there) })
	if err := s.pool.SendBatch(ctx, batch).Close(); err != nil {
		return nil, fmt.Errorf("read the %s of job %q: %w", what, job, explain(err))
	}
	if !there {
		return nil, notFound(job)
	}
	if len(all) == 0 {
		return nil, nil
	}
	return all, nil
}
