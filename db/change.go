package db

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
	"gaugerod/scheduler/rules"
)

// Change applies change to the newest state of the job and keeps the outcome, once
// it has been found sound; scheduler.Faults otherwise. It returns the new revision,
// or the old one when nothing differs. An error of change undoes all and is
// returned. A *StaleError refuses an edit made from another revision than the newest,
// ErrKeyUsed one whose key belongs to another request.
func (s *Store) Change(ctx context.Context, id scheduler.ID, e Edit, change func(*scheduler.Job) error) (int64, error) {
	return s.edit(ctx, id, e, func(_ context.Context, _ pgx.Tx, before *state) (draft, error) {
		if err := change(before.job); err != nil {
			return draft{}, err
		}
		before.job.Canonical()
		return draft{job: before.job}, nil
	})
}

// edit brings the job into the state that next gives, unless the request has been
// seen before or came too late.
func (s *Store) edit(ctx context.Context, id scheduler.ID, e Edit, next func(context.Context, pgx.Tx, *state) (draft, error)) (int64, error) {
	return s.inTransaction(ctx, id, func(tx pgx.Tx) (int64, *state, error) {
		newest, err := lockJob(ctx, tx, id)
		if err != nil {
			return 0, nil, err
		}
		if before, err := admit(ctx, tx, id, e, newest.revision); before > 0 || err != nil {
			return before, nil, err
		}
		before, err := s.stateAt(ctx, tx, id, newest)
		if err != nil {
			return 0, nil, err
		}
		after, err := next(ctx, tx, before)
		if err != nil {
			return 0, nil, err
		}
		revision, now, err := s.write(ctx, tx, e, before, after)
		if err != nil || after.also == nil {
			return revision, now, err
		}
		return revision, now, after.also(ctx, tx, revision)
	})
}

// stateAt is the state of a job that is known to be the given one.
func (s *Store) stateAt(ctx context.Context, q querier, id scheduler.ID, is standing) (*state, error) {
	if found := s.held.find(id, is); found != nil {
		return found, nil
	}
	return load(ctx, q, id)
}

// admit is the revision that a request seen before gave, 0 for a new one; and refuses
// one that came too late.
func admit(ctx context.Context, tx pgx.Tx, id scheduler.ID, e Edit, newest int64) (int64, error) {
	before, err := receipt(ctx, tx, id, e)
	switch {
	case err != nil || before > 0:
		return before, err
	case e.New:
		return 0, &scheduler.Refusal{
			Kind: scheduler.ErrAlready, Field: "job", What: fmt.Sprintf("there is a job called %q already", id), Mend: "take another name",
		}
	case e.At != 0 && e.At != newest:
		return 0, &StaleError{At: e.At, Newest: newest}
	case e.About != "" && e.Seen > 0 && e.Seen < newest:
		return 0, untouched(ctx, tx, id, e)
	}
	return 0, nil
}

// untouched is a *TouchedError where the thing that an edit is about has changed since
// its author looked.
func untouched(ctx context.Context, tx pgx.Tx, id scheduler.ID, e Edit) error {
	rows, err := tx.Query(ctx, `
		SELECT `+historyColumns+` FROM change
		WHERE job = $1 AND revision > $2 AND key = $3 ORDER BY revision DESC LIMIT 1`, string(id), e.Seen, e.About)
	if err != nil {
		return err
	}
	switch line, err := pgx.CollectExactlyOneRow(rows, pgx.RowToStructByPos[HistoryLine]); {
	case errors.Is(err, pgx.ErrNoRows):
		return nil
	case err != nil:
		return err
	default:
		return &TouchedError{Line: line}
	}
}

// Put creates the job or replaces the whole of it, and returns the revision: the
// old one when nothing differs. The job must be sound; scheduler.Faults otherwise.
// Edits are refused as by Change; a job that is not there is at no revision. Of two who
// make one job at once (Edit.New) one makes it, and the other is refused.
func (s *Store) Put(ctx context.Context, job *scheduler.Job, e Edit) (int64, error) {
	return s.inTransaction(ctx, job.ID, func(tx pgx.Tx) (int64, *state, error) {
		// There may be no row yet to lock; two who create one job take turns.
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtextextended('gaugerod job ' || $1, 0))`, string(job.ID)); err != nil {
			return 0, nil, err
		}
		before := &state{}
		newest, err := lockJob(ctx, tx, job.ID)
		if err == nil {
			if before, err := admit(ctx, tx, job.ID, e, newest.revision); before > 0 || err != nil {
				return before, nil, err
			}
			before, err = s.stateAt(ctx, tx, job.ID, newest)
		}
		if err != nil && (e.At != 0 || !errors.Is(err, scheduler.ErrNotFound)) {
			return 0, nil, err
		}
		return s.write(ctx, tx, e, before, draft{job: job})
	})
}

// inTransaction does all of something or nothing, and holds the state of the job that
// comes of it, if it gives one.
func (s *Store) inTransaction(ctx context.Context, id scheduler.ID, do func(pgx.Tx) (int64, *state, error)) (revision int64, err error) {
	var after *state
	err = pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) (err error) {
		revision, after, err = do(tx)
		return err
	})
	if err != nil {
		return 0, explain(err)
	}
	if after != nil {
		s.held.keep(id, after)
	}
	return revision, nil
}

// lockJob keeps others from changing the job until the transaction ends, and says
// where it stands. Reading goes on.
func lockJob(ctx context.Context, tx pgx.Tx, id scheduler.ID) (is standing, err error) {
	err = tx.QueryRow(ctx, `SELECT revision, changed_at FROM job WHERE id = $1 FOR NO KEY UPDATE`, string(id)).Scan(&is.revision, &is.changed)
	if errors.Is(err, pgx.ErrNoRows) {
		return is, notFound(id)
	}
	return is, err
}

// draft is the state that a job is to have.
type draft struct {
	job    *scheduler.Job
	tables []decoded // the rows of the job, with their orders; nil: still to be made
	undoes int64     // the revision that is undone by it, 0: none
	note   string    // what the change as a whole is, in words; empty: its lines say it

	// also is what else the new revision brings, in the same transaction; may be nil.
	also func(ctx context.Context, tx pgx.Tx, revision int64) error
}

// write brings the rows of a job from one state to another, with the lines of
// history, the next revision and the word to those who listen. It gives the revision
// and the state that holds once the transaction is committed.
func (s *Store) write(ctx context.Context, tx pgx.Tx, e Edit, before *state, after draft) (int64, *state, error) {
	job := after.job
	if faults := rules.Check(job); len(faults) > 0 {
		return 0, nil, faults
	}
	if e.By.Name == "" {
		return 0, nil, errors.New("a change needs the name of who makes it")
	}
	if after.tables == nil {
		after.tables = divide(job, before)
	}
	was, is := changedRows(before.tables, after.tables)
	differences := make([]difference, len(tables))
	same := true
	for k := range tables {
		differences[k] = differ(was[k], is[k])
		same = same && differences[k].none()
	}
	now := s.now().UTC().Truncate(time.Microsecond) // as the database keeps it
	if same {
		batch := &pgx.Batch{}
		keepReceipt(batch, job.ID, e, before.revision, now)
		return before.revision, before, send(ctx, tx, job.ID, batch)
	}
	if err := keepsIssues(differences); err != nil {
		return 0, nil, err
	}
	next := Word{Job: job.ID, Revision: before.revision + 1, Kind: RevisionWord}
	batch, err := batchOf(job.ID, differences)
	if err != nil {
		return 0, nil, err
	}
	if err := keepHistory(batch, next, e, now, after, was, before.tables, differences); err != nil {
		return 0, nil, err
	}
	keepReceipt(batch, job.ID, e, next.Revision, now)
	told, err := json.Marshal(next)
	if err != nil {
		return 0, nil, err
	}
	batch.Queue(`UPDATE job SET revision = $2, changed_at = $3 WHERE id = $1`, string(job.ID), next.Revision, now)
	batch.Queue(`SELECT pg_notify($1, $2)`, channel, string(told)) // sent when the transaction is committed
	return next.Revision, settled(standing{next.Revision, now}, after.tables), send(ctx, tx, job.ID, batch)
}

func send(ctx context.Context, tx pgx.Tx, id scheduler.ID, batch *pgx.Batch) error {
	if batch.Len() == 0 {
		return nil
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write job %q: %w", id, err)
	}
	return nil
}

// batchOf is the statements that write differences: what goes, then what changes
// and comes. Foreign keys are checked at the end, so that no order is wrong.
func batchOf(job scheduler.ID, differences []difference) (*pgx.Batch, error) {
	batch := &pgx.Batch{}
	queue := func(sql string, rows []row) error {
		text, err := valuesOf(rows)
		if text != nil {
			batch.Queue(sql, string(job), string(text))
		}
		return err
	}
	for k := range tables {
		d := &differences[k]
		err := errors.Join(
			queue(writing[k].delete, d.delete),
			queue(writing[k].update, d.update),
			queue(writing[k].insert, d.insert))
		if err != nil {
			return nil, err
		}
	}
	return batch, nil
}
