package db

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// keptPlans is how many plans are kept of one revision, each as of another day.
const keptPlans = 16

// SavePlan keeps the plan of one revision as of one day. Plans of older revisions
// are removed, and of this one all but the newest few.
func (s *Store) SavePlan(ctx context.Context, id scheduler.ID, revision int64, asOf worktime.Date, plan *scheduler.Plan) error {
	text, err := json.Marshal(plan)
	if err != nil {
		return fmt.Errorf("write the plan of job %q: %w", id, err)
	}
	batch := &pgx.Batch{}
	batch.Queue(`
		INSERT INTO plan (job, revision, as_of_day, made_at, plan)
		VALUES ($1, $2, $3::text::date, $4, $5::text::jsonb)
		ON CONFLICT (job, revision, as_of_day) DO UPDATE SET made_at = EXCLUDED.made_at, plan = EXCLUDED.plan`,
		string(id), revision, asOf.String(), s.now().UTC(), string(text))
	batch.Queue(`
		DELETE FROM plan
		WHERE job = $1 AND (revision < $2 OR (revision = $2 AND as_of_day NOT IN (
			SELECT as_of_day FROM plan WHERE job = $1 AND revision = $2 ORDER BY made_at DESC, as_of_day = $3::text::date DESC LIMIT $4)))`,
		string(id), revision, asOf.String(), keptPlans)
	if err := s.pool.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("keep the plan of job %q: %w", id, explain(err))
	}
	return nil
}

// LoadPlan gives a kept plan back; scheduler.ErrNotFound when there is none.
func (s *Store) LoadPlan(ctx context.Context, id scheduler.ID, revision int64, asOf worktime.Date) (*scheduler.Plan, error) {
	var text []byte
	err := s.pool.QueryRow(ctx, `
		SELECT plan::text FROM plan WHERE job = $1 AND revision = $2 AND as_of_day = $3::text::date`,
		string(id), revision, asOf.String()).Scan(&text)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, fmt.Errorf("plan of job %q, revision %d as of %s: %w", id, revision, asOf, scheduler.ErrNotFound)
	}
	if err != nil {
		return nil, fmt.Errorf("read a plan of job %q: %w", id, explain(err))
	}
	var plan scheduler.Plan
	if err := json.Unmarshal(text, &plan); err != nil {
		return nil, fmt.Errorf("read a plan of job %q: %w", id, err)
	}
	return &plan, nil
}
