package db

import (
	"context"
	"fmt"
	"time"
)

// PoolFigures are the store's connections at a moment and what was asked of them
// since it was opened.
type PoolFigures struct {
	Open, Busy, Idle, Most int32
	Taken                  int64         // how often one was asked for and had
	Waited                 int64         // how often none was idle
	GaveUp                 int64         // how often who asked gave up
	Waiting                time.Duration // all waiting for one, together
}

// Pool is how the connections stand.
func (s *Store) Pool() PoolFigures {
	is := s.pool.Stat()
	return PoolFigures{
		Open: is.TotalConns(), Busy: is.AcquiredConns(), Idle: is.IdleConns(), Most: is.MaxConns(),
		Taken: is.AcquireCount(), Waited: is.EmptyAcquireCount(), GaveUp: is.CanceledAcquireCount(),
		Waiting: is.EmptyAcquireWaitTime(),
	}
}

// Lag is how far the plans are behind the jobs.
type Lag struct {
	Jobs      int64         // jobs that there are
	Unplanned int64         // of these, whose newest revision has no plan yet
	Revisions int64         // of the job furthest behind: revisions since the last one planned
	Age       time.Duration // since the job that has waited longest was changed

	Waiting, Running int64 // heavy work in the queue, and being done on any instance
}

// Lag compares the newest revision of each job with the newest that has a plan.
func (s *Store) Lag(ctx context.Context) (Lag, error) {
	var lag Lag
	var oldest *time.Time
	err := s.pool.QueryRow(ctx, `
		WITH behind AS (
			SELECT job.revision - coalesce(max(plan.revision), 0) AS by, job.changed_at
			FROM job LEFT JOIN plan ON plan.job = job.id
			GROUP BY job.id, job.revision, job.changed_at
		)
		SELECT count(*), count(*) FILTER (WHERE by > 0), coalesce(max(by), 0), min(changed_at) FILTER (WHERE by > 0 AND isfinite(changed_at)),
			(SELECT count(*) FROM `+queueSchema+`.river_job WHERE state IN ('available', 'pending', 'retryable', 'scheduled')),
			(SELECT count(*) FROM `+queueSchema+`.river_job WHERE state = 'running')
		FROM behind`).Scan(&lag.Jobs, &lag.Unplanned, &lag.Revisions, &oldest, &lag.Waiting, &lag.Running)
	if err != nil {
		return Lag{}, fmt.Errorf("read how far plans are behind: %w", explain(err))
	}
	if oldest != nil {
		lag.Age = max(0, s.now().Sub(*oldest))
	}
	return lag, nil
}
