package db

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// mostTrials is how many trials of a job may be open at once. Common practice, no
// source: more than anybody keeps apart.
const mostTrials = 20

// Trial is a list of changes that are tried on a job.
type Trial struct {
	Number  int
	Title   string
	Ops     []trial.Op
	Version int // one more with each change of the trial
	MadeAt  time.Time
	MadeBy  string
	Changed time.Time
	Adopted *int64     // the revision of the job in which it was adopted; nil: it is open, or thrown away
	Thrown  *time.Time // nil: it was not thrown away
}

// Open says whether it can still be changed and adopted.
func (t *Trial) Open() bool { return t.Adopted == nil && t.Thrown == nil }

// Settled is the refusal of what can be done only before a trial is adopted; nil where it
// is not.
func (t *Trial) Settled() error {
	if t.Adopted == nil {
		return nil
	}
	return &scheduler.Refusal{Kind: scheduler.ErrAlready, What: fmt.Sprintf("trial %d was adopted in revision %d", t.Number, *t.Adopted)}
}

// ErrTrialChanged is the answer to a change of a trial, or its adoption, by who has
// seen another state of it.
var ErrTrialChanged = errors.New("the trial has changed meanwhile")

const trialColumns = `number, title, ops::text, version, made_at, made_by, changed_at, adopted, thrown_at`

func scanTrial(row pgx.CollectableRow) (Trial, error) {
	var t Trial
	var ops string
	if err := row.Scan(&t.Number, &t.Title, &ops, &t.Version, &t.MadeAt, &t.MadeBy, &t.Changed, &t.Adopted, &t.Thrown); err != nil {
		return t, err
	}
	if err := json.Unmarshal([]byte(ops), &t.Ops); err != nil {
		return t, fmt.Errorf("read the changes of trial %d: %w", t.Number, err)
	}
	return t, nil
}

// MakeTrial begins a trial with some changes in it. The same request again gives the
// same one.
func (s *Store) MakeTrial(ctx context.Context, job scheduler.ID, title string, ops []trial.Op, e Edit) (t Trial, err error) {
	text, err := opsText(ops)
	if err != nil {
		return Trial{}, err
	}
	err = s.once(ctx, job, e, func(tx pgx.Tx) (int64, error) { // numbers are given one after the other
		var open int
		if err := tx.QueryRow(ctx, `SELECT count(*) FROM trial WHERE job = $1 AND adopted IS NULL AND thrown_at IS NULL`, string(job)).Scan(&open); err != nil {
			return 0, err
		}
		if open >= mostTrials {
			return 0, &scheduler.Refusal{
				Kind: scheduler.ErrImpossible, What: fmt.Sprintf("%d trials are open already", open), Mend: "adopt one or throw one away first",
			}
		}
		rows, err := tx.Query(ctx, `
			INSERT INTO trial (job, number, title, ops, version, made_at, made_by, made_account, changed_at)
			SELECT $1::text, coalesce(max(number), 0) + 1, $2, $6::text::jsonb, 1, $3::timestamptz, $4, $5::uuid, $3::timestamptz FROM trial WHERE job = $1::text
			RETURNING `+trialColumns, string(job), title, s.now().UTC(), e.By.Name, orNull(e.By.Account), text)
		if err != nil {
			return 0, err
		}
		t, err = pgx.CollectExactlyOneRow(rows, scanTrial)
		return int64(t.Number), err
	}, func(tx pgx.Tx, number int64) error {
		t, err = oneTrial(ctx, tx, ofTrial, string(job), number)
		return err
	})
	if err != nil {
		return Trial{}, fmt.Errorf("make a trial of job %q: %w", job, err)
	}
	return t, nil
}

// once does something to the trials of a job unless its request has been seen before:
// then again is told what it gave.
func (s *Store) once(ctx context.Context, job scheduler.ID, e Edit, do func(pgx.Tx) (int64, error), again func(pgx.Tx, int64) error) error {
	return explain(pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := lockJob(ctx, tx, job); err != nil {
			return err
		}
		gave, err := receipt(ctx, tx, job, e)
		switch {
		case err != nil:
			return err
		case gave > 0:
			return again(tx, gave)
		}
		if gave, err = do(tx); err != nil {
			return err
		}
		batch := &pgx.Batch{}
		keepReceipt(batch, job, e, gave, s.now().UTC())
		return send(ctx, tx, job, batch)
	}))
}

// opsText is the changes of a trial as they are kept.
func opsText(ops []trial.Op) (string, error) {
	if ops == nil {
		ops = []trial.Op{}
	}
	text, err := json.Marshal(ops)
	return string(text), err
}

// Trials are those of a job that were not thrown away, the newest first.
func (s *Store) Trials(ctx context.Context, job scheduler.ID) ([]Trial, error) {
	return rowsOf(ctx, s, job, "trials", scanTrial,
		`SELECT `+trialColumns+` FROM trial WHERE job = $1 AND thrown_at IS NULL ORDER BY number DESC LIMIT 200`, string(job))
}

// Trial is one trial; scheduler.ErrNotFound where there is none, or it was thrown away.
func (s *Store) Trial(ctx context.Context, job scheduler.ID, number int) (Trial, error) {
	t, err := oneTrial(ctx, s.pool, ofTrial, string(job), number)
	if errors.Is(err, pgx.ErrNoRows) || err == nil && t.Thrown != nil {
		return Trial{}, noTrial(job, number)
	}
	return t, explain(err)
}

// lister is a connection or a transaction.
type lister interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
}

// ofTrial finds one by its job and number, however large a number is asked for.
const ofTrial = `WHERE job = $1 AND number = $2::bigint`

func oneTrial(ctx context.Context, q lister, where string, args ...any) (Trial, error) {
	rows, err := q.Query(ctx, `SELECT `+trialColumns+` FROM trial `+where, args...)
	if err != nil {
		return Trial{}, err
	}
	return pgx.CollectExactlyOneRow(rows, scanTrial)
}

func noTrial(job scheduler.ID, number int) error {
	return fmt.Errorf("trial %d of job %q: %w", number, job, scheduler.ErrNotFound)
}

// openTrial locks a trial that can still be changed. With seen, it must be at that version.
func openTrial(ctx context.Context, tx pgx.Tx, job scheduler.ID, number, seen int) (Trial, error) {
	t, err := oneTrial(ctx, tx, ofTrial+` FOR UPDATE`, string(job), number)
	switch {
	case errors.Is(err, pgx.ErrNoRows) || err == nil && t.Thrown != nil:
		return t, noTrial(job, number)
	case err != nil:
		return t, err
	case t.Adopted != nil:
		return t, t.Settled()
	case seen != 0 && seen != t.Version:
		return t, ErrTrialChanged
	}
	return t, nil
}

// ChangeTrial changes the title and the list of changes of an open trial. An error of
// change undoes all and is returned. The same request again does nothing, and gives the
// trial as it stands.
func (s *Store) ChangeTrial(ctx context.Context, job scheduler.ID, number, seen int, e Edit, change func(*Trial) error) (t Trial, err error) {
	err = s.once(ctx, job, e, func(tx pgx.Tx) (int64, error) {
		var err error
		if t, err = openTrial(ctx, tx, job, number, seen); err != nil {
			return 0, err
		}
		if err := change(&t); err != nil {
			return 0, err
		}
		ops, err := opsText(t.Ops)
		if err != nil {
			return 0, err
		}
		rows, err := tx.Query(ctx, `
			UPDATE trial SET title = $3, ops = $4::text::jsonb, version = version + 1, changed_at = $5
			WHERE job = $1 AND number = $2 RETURNING `+trialColumns, string(job), number, t.Title, ops, s.now().UTC())
		if err != nil {
			return 0, err
		}
		t, err = pgx.CollectExactlyOneRow(rows, scanTrial)
		return int64(t.Version), err
	}, func(tx pgx.Tx, _ int64) error {
		t, err = oneTrial(ctx, tx, ofTrial, string(job), number)
		return err
	})
	return t, err
}

// ThrowTrialAway ends an open trial without anything coming of it. The same request
// again does nothing.
func (s *Store) ThrowTrialAway(ctx context.Context, job scheduler.ID, number, seen int, e Edit) error {
	return s.once(ctx, job, e, func(tx pgx.Tx) (int64, error) {
		t, err := openTrial(ctx, tx, job, number, seen)
		if err != nil {
			return 0, err
		}
		_, err = tx.Exec(ctx, `UPDATE trial SET thrown_at = $3 WHERE job = $1 AND number = $2`, string(job), number, s.now().UTC())
		return int64(t.Version), err
	}, func(pgx.Tx, int64) error { return nil })
}

// AdoptTrial makes all changes of a trial, as it was seen, in one change of the job,
// and returns the revision. Errors are those of Change and trial.Apply; then nothing
// has changed.
func (s *Store) AdoptTrial(ctx context.Context, id scheduler.ID, number, seen int, e Edit) (int64, error) {
	return s.edit(ctx, id, e, func(ctx context.Context, tx pgx.Tx, before *state) (draft, error) {
		t, err := openTrial(ctx, tx, id, number, seen)
		if err != nil {
			return draft{}, err
		}
		if len(t.Ops) == 0 {
			return draft{}, &scheduler.Refusal{Kind: scheduler.ErrIncomplete, What: "the trial changes nothing", Mend: "add a change first, or throw it away"}
		}
		after, err := trial.Apply(before.job, t.Ops)
		if err != nil {
			return draft{}, err
		}
		return draft{
			job: after, note: fmt.Sprintf("adopted trial %d, “%s”: %s", number, t.Title, trial.Summary(before.job, t.Ops)),
			also: func(ctx context.Context, tx pgx.Tx, revision int64) error {
				_, err := tx.Exec(ctx, `UPDATE trial SET adopted = $3, version = version + 1, changed_at = $4 WHERE job = $1 AND number = $2`,
					string(id), number, revision, s.now().UTC())
				return err
			},
		}, nil
	})
}
