package db

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"
	"github.com/rs/zerolog"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// ComparisonOf says what is compared with what.
type ComparisonOf struct {
	Job      scheduler.ID  `json:"job"`
	Revision int64         `json:"revision"` // the later of the two
	Against  string        `json:"against"`  // the earlier one: a revision by its number, an issued plan by its letter
	AsOf     worktime.Date `json:"as_of"`    // the day from which plans are computed that are not there
}

// Comparison is one that was asked for and what has come of it.
type Comparison struct {
	State   ComparisonState
	Asked   time.Time
	Ended   *time.Time
	Outcome []byte // JSON, when it is done
}

// ComparisonState is how far a comparison has come.
type ComparisonState string

// The states of a comparison.
const (
	ComparisonWaiting ComparisonState = "waiting"
	ComparisonDone    ComparisonState = "done"
	ComparisonGivenUp ComparisonState = "given up" // it failed again and again
)

// comparisonWork is a comparison in the queue.
type comparisonWork struct{ ComparisonOf }

// Kind names it in the queue.
func (comparisonWork) Kind() string { return "comparison" }

// InsertOpts has one for each two that are compared at most.
func (comparisonWork) InsertOpts() river.InsertOpts {
	return river.InsertOpts{Queue: comparisonQueue, Priority: comparisonPriority, UniqueOpts: river.UniqueOpts{ByArgs: true, ByState: rivertype.JobStates()}}
}

// AskForComparison has two plans compared, unless that was asked for before, and says
// how far it has come.
func (s *Store) AskForComparison(ctx context.Context, of ComparisonOf) (Comparison, error) {
	client, err := s.inserter()
	if err != nil {
		return Comparison{}, err
	}
	err = pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		tag, err := tx.Exec(ctx, `
			INSERT INTO comparison (job, revision, against, as_of_day, state, asked_at)
			VALUES ($1, $2, $3, $4::text::date, $5, $6) ON CONFLICT DO NOTHING`,
			string(of.Job), of.Revision, of.Against, of.AsOf.String(), string(ComparisonWaiting), s.now().UTC())
		if err != nil || tag.RowsAffected() == 0 {
			return err
		}
		_, err = client.InsertTx(ctx, tx, comparisonWork{of}, nil)
		return err
	})
	if err != nil {
		return Comparison{}, fmt.Errorf("ask for a comparison of job %q: %w", of.Job, explain(err))
	}
	return s.Comparison(ctx, of)
}

// Comparison says how far one has come; scheduler.ErrNotFound when nobody asked for it.
func (s *Store) Comparison(ctx context.Context, of ComparisonOf) (c Comparison, err error) {
	err = s.pool.QueryRow(ctx, `
		SELECT state, asked_at, ended_at, outcome::text FROM comparison
		WHERE job = $1 AND revision = $2 AND against = $3 AND as_of_day = $4::text::date`,
		string(of.Job), of.Revision, of.Against, of.AsOf.String()).Scan(&c.State, &c.Asked, &c.Ended, &c.Outcome)
	if errors.Is(err, pgx.ErrNoRows) {
		return c, fmt.Errorf("comparison of revision %d of job %q with %s: %w", of.Revision, of.Job, of.Against, scheduler.ErrNotFound)
	}
	return c, explain(err)
}

// comparisonWorker makes comparisons.
type comparisonWorker struct {
	river.WorkerDefaults[comparisonWork]
	store *Store
	heavy Heavy
	log   zerolog.Logger
}

// Work makes one comparison and keeps what comes of it.
func (w *comparisonWorker) Work(ctx context.Context, job *river.Job[comparisonWork]) error {
	of := job.Args.ComparisonOf
	outcome, err := w.heavy.Compare(ctx, of)
	if err == nil {
		return w.store.endComparison(ctx, of, ComparisonDone, outcome)
	}
	stopped := ctx.Err() != nil && !errors.Is(context.Cause(ctx), context.DeadlineExceeded)
	if !stopped {
		w.log.Error().Err(err).Str("job", string(of.Job)).Int64("revision", of.Revision).Msg("a comparison failed")
	}
	if !stopped && (lastTry(job) || errors.Is(err, scheduler.ErrNotFound) || errors.Is(err, ErrNotKept)) {
		return errors.Join(w.store.endComparison(ctx, of, ComparisonGivenUp, nil), river.JobCancel(err))
	}
	return err
}

func (s *Store) endComparison(ctx context.Context, of ComparisonOf, state ComparisonState, outcome []byte) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), claimLimit)
	defer cancel()
	var text *string
	if outcome != nil {
		t := string(outcome)
		text = &t
	}
	_, err := s.pool.Exec(ctx, `
		UPDATE comparison SET state = $5, ended_at = $6, outcome = $7::text::jsonb
		WHERE job = $1 AND revision = $2 AND against = $3 AND as_of_day = $4::text::date`,
		string(of.Job), of.Revision, of.Against, of.AsOf.String(), string(state), s.now().UTC(), text)
	return explain(err)
}
