package db

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// keptPlans is how many plans are kept of one revision, each as of another day.
const keptPlans = 16

// PlanOf says what a plan is of.
type PlanOf struct {
	Job      scheduler.ID
	Revision int64
	AsOf     worktime.Date
}

func (of PlanOf) String() string {
	return fmt.Sprintf("job %q, revision %d as of %s", of.Job, of.Revision, of.AsOf)
}

// PlanHead is a kept plan without its content.
type PlanHead struct {
	AsOf   worktime.Date `json:"as_of"`
	Take   int           `json:"take"` // 1, and one more each time a better plan of the same has taken its place
	Finish time.Time     `json:"finish"`
	Proven bool          `json:"proven"`
}

// Standing is the newest revision of a job, and the take of the plan that is kept of
// it as of a day, 0 where there is none; scheduler.ErrNotFound when there is no such
// job. Every read begins with it: it takes two look-ups in indexes.
func (s *Store) Standing(ctx context.Context, id scheduler.ID, asOf worktime.Date) (revision int64, take int, err error) {
	err = s.pool.QueryRow(ctx, `
		SELECT j.revision, coalesce(p.take, 0)
		FROM job j LEFT JOIN plan p ON p.job = j.id AND p.revision = j.revision AND p.as_of_day = $2::text::date
		WHERE j.id = $1`, string(id), asOf.String()).Scan(&revision, &take)
	if errors.Is(err, pgx.ErrNoRows) {
		return 0, 0, notFound(id)
	}
	return revision, take, explain(err)
}

// PlanHeads is the heads of all kept plans of one revision, by day.
func (s *Store) PlanHeads(ctx context.Context, id scheduler.ID, revision int64) ([]PlanHead, error) {
	rows, err := s.pool.Query(ctx, `
		SELECT as_of_day::text, take, finish, proven FROM plan WHERE job = $1 AND revision = $2 ORDER BY as_of_day`, string(id), revision)
	if err != nil {
		return nil, explain(err)
	}
	heads, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (h PlanHead, err error) {
		var day string
		if err := row.Scan(&day, &h.Take, &h.Finish, &h.Proven); err != nil {
			return h, err
		}
		h.AsOf, err = worktime.ParseDate(day)
		return h, err
	})
	return heads, explain(err)
}

// SavePlan keeps a plan unless one of the same is kept already that the same
// generation of the solver made; kept is false then. Usual says that its day is the
// one from which the job is planned when nobody names one: plans of older revisions
// have been of use for the last time then and are removed, and of each revision all
// but the newest few.
func (s *Store) SavePlan(ctx context.Context, of PlanOf, plan PackedPlan, usual bool) (head PlanHead, kept bool, err error) {
	return s.keepPlan(ctx, of, plan, `
		INSERT INTO plan AS old (job, revision, as_of_day, take, usual, engine, finish, proven, made_at, plan)
		VALUES ($1, $2, $3::text::date, 1, $4, $5, $6, $7, $8, $9)
		ON CONFLICT (job, revision, as_of_day) DO UPDATE SET take = old.take + 1, usual = EXCLUDED.usual,
			engine = EXCLUDED.engine, finish = EXCLUDED.finish, proven = EXCLUDED.proven, made_at = EXCLUDED.made_at, plan = EXCLUDED.plan
		WHERE old.engine <> EXCLUDED.engine
		RETURNING take`, usual)
}

// BetterPlan puts a better plan in the place of the one with the given take; kept is
// false when that one is not there any more.
func (s *Store) BetterPlan(ctx context.Context, of PlanOf, plan PackedPlan, take int) (head PlanHead, kept bool, err error) {
	return s.keepPlan(ctx, of, plan, `
		UPDATE plan SET take = take + 1, engine = $5, finish = $6, proven = $7, made_at = $8, plan = $9
		WHERE job = $1 AND revision = $2 AND as_of_day = $3::text::date AND take = $4
		RETURNING take`, take)
}

// keepPlan writes a plan, tells who listens and removes what has been superseded: in one
// round trip, for all of a batch is one transaction.
func (s *Store) keepPlan(ctx context.Context, of PlanOf, plan PackedPlan, write string, fourth any) (head PlanHead, kept bool, err error) {
	head = PlanHead{AsOf: of.AsOf, Finish: plan.Finish, Proven: plan.Proven}
	word, err := json.Marshal(Word{Job: of.Job, Revision: of.Revision, Kind: PlanWord, Plan: &head})
	if err != nil {
		return head, false, err
	}
	batch := &pgx.Batch{}
	batch.Queue(`WITH kept AS (`+write+`) SELECT take, pg_notify($10, jsonb_set($11::jsonb, '{plan,take}', to_jsonb(take))::text)::text FROM kept`,
		string(of.Job), of.Revision, of.AsOf.String(), fourth,
		plan.Engine, plan.Finish.UTC(), plan.Proven, s.now().UTC(), plan.packed, channel, string(word)).QueryRow(func(row pgx.Row) error {
		err := row.Scan(&head.Take, nil)
		if kept = err == nil; errors.Is(err, pgx.ErrNoRows) {
			return nil
		}
		return err
	})
	batch.Queue(removePlans, string(of.Job), keptPlans)
	if err := s.pool.SendBatch(ctx, batch).Close(); err != nil {
		return head, false, fmt.Errorf("keep the plan of %s: %w", of, explain(err))
	}
	return head, kept, nil
}

// removePlans leaves of a job the newest usual plan with all younger ones: the next
// revision is planned near it. Of each revision it leaves the newest few.
const removePlans = `
	DELETE FROM plan WHERE job = $1 AND (
		revision < (SELECT max(revision) FROM plan WHERE job = $1 AND usual)
		OR (revision, as_of_day) IN (
			SELECT revision, as_of_day FROM (
				SELECT revision, as_of_day, row_number() OVER (PARTITION BY revision ORDER BY made_at DESC, as_of_day DESC) AS nr
				FROM plan WHERE job = $1) AS numbered
			WHERE nr > $2))`

// LoadPlan gives a kept plan back; scheduler.ErrNotFound when there is none.
func (s *Store) LoadPlan(ctx context.Context, of PlanOf) (*scheduler.Plan, PlanHead, error) {
	plan, head, err := s.loadPlan(ctx, `revision = $2 AND as_of_day = $3::text::date`, of)
	if errors.Is(err, pgx.ErrNoRows) {
		err = fmt.Errorf("plan of %s: %w", of, scheduler.ErrNotFound)
	}
	return plan, head, err
}

// PlanBefore is the plan that people know when a revision is planned for the first
// time as of a day: the newest usual one of an earlier revision, or of the same one as
// of an earlier day. It is scheduler.ErrNotFound when there is none, or none of a
// later revision than one that is known already.
func (s *Store) PlanBefore(ctx context.Context, of PlanOf, known int64) (*scheduler.Plan, error) {
	plan, _, err := s.loadPlan(ctx, `
		usual AND (revision < $2 OR revision = $2 AND as_of_day < $3::text::date) AND revision > $4
		ORDER BY revision DESC, as_of_day DESC LIMIT 1`, of, known)
	if errors.Is(err, pgx.ErrNoRows) {
		err = fmt.Errorf("plan before that of %s: %w", of, scheduler.ErrNotFound)
	}
	return plan, err
}

func (s *Store) loadPlan(ctx context.Context, which string, of PlanOf, more ...any) (*scheduler.Plan, PlanHead, error) {
	var packed []byte
	head := PlanHead{AsOf: of.AsOf}
	err := s.pool.QueryRow(ctx, `SELECT take, finish, proven, plan FROM plan WHERE job = $1 AND `+which,
		append([]any{string(of.Job), of.Revision, of.AsOf.String()}, more...)...).Scan(&head.Take, &head.Finish, &head.Proven, &packed)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, head, err
	}
	if err != nil {
		return nil, head, fmt.Errorf("read the plan of %s: %w", of, explain(err))
	}
	plan, err := unpack(packed)
	if err != nil {
		return nil, head, fmt.Errorf("read the plan of %s: %w", of, err)
	}
	return plan, head, nil
}
