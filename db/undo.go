package db

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// undoDepth is how far back the newest change that can be undone is looked for.
const undoDepth = 500

// Undo takes one change back, as a change of its own. The revision is the one to
// undo; 0 is the newest that is not undone, is no undoing itself and sent nothing out,
// so that undoing again goes further back. An undoing can be undone by its number. With mine, only
// what the edit's own author did is looked for and taken back.
//
// Errors: ErrBuiltOn where later changes touched the same things; ErrNotKept for
// revisions of which nothing is kept; scheduler.ErrAlready and scheduler.ErrNotTheirs
// as refusals; scheduler.Faults where the job would no longer be sound; those of
// Change.
func (s *Store) Undo(ctx context.Context, id scheduler.ID, revision int64, mine bool, e Edit) (int64, error) {
	return s.edit(ctx, id, e, func(ctx context.Context, tx pgx.Tx, before *state) (draft, error) {
		done, err := undoable(ctx, tx, id, revision, mine, e.By)
		if err != nil {
			return draft{}, err
		}
		if done.revision == 1 {
			return draft{}, undoRefusal(scheduler.ErrImpossible, "the first revision made the job", "there is nothing before it")
		}
		rows := before.rows()
		if err := takeBack(rows, done.delta); err != nil {
			return draft{}, fmt.Errorf("undo revision %d: %w", done.revision, err)
		}
		after, err := stateFrom(id, rows)
		if err != nil {
			return draft{}, err
		}
		d := draft{job: after.job, tables: after.tables, undoes: done.revision}
		if done.renames == nil {
			return d, nil
		}
		return s.renamed(ctx, tx, id, d, done.renames.Back())
	})
}

// done is one change as it is undone.
type done struct {
	revision int64
	delta    []delta
	renames  *scheduler.Renamed // nil: it gave nothing another name
}

// undoable finds the change to undo.
func undoable(ctx context.Context, tx pgx.Tx, id scheduler.ID, wanted int64, mine bool, by Author) (*done, error) {
	type line struct {
		Revision int64
		Undoes   *int64
		Account  *uuid.UUID
		Link     *uuid.UUID
		SentOut  bool // a plan was issued by it, which stands
	}
	rows, err := tx.Query(ctx, `
		SELECT revision, undoes, account, link,
			EXISTS (SELECT FROM issued_plan i WHERE i.job = r.job AND i.revision = r.revision)
		FROM revision r
		WHERE job = $1 ORDER BY revision DESC LIMIT $2`, string(id), undoDepth)
	if err != nil {
		return nil, err
	}
	lines, err := pgx.CollectRows(rows, pgx.RowToStructByPos[line])
	if err != nil {
		return nil, err
	}
	undone := map[int64]bool{}
	for _, l := range lines {
		isUndone := undone[l.Revision]
		if l.Undoes != nil && !isUndone {
			undone[*l.Undoes] = true
		}
		own := by.made(l.Account, l.Link)
		switch {
		case l.Revision == wanted && isUndone:
			return nil, undoRefusal(scheduler.ErrAlready, fmt.Sprintf("revision %d has been undone already", wanted), "")
		case l.Revision == wanted && mine && !own:
			return nil, undoRefusal(scheduler.ErrNotTheirs, fmt.Sprintf("revision %d was made by somebody else", wanted), "ask the owner of the job, who may undo it")
		case l.Revision == wanted, wanted == 0 && l.Undoes == nil && !isUndone && !l.SentOut && (own || !mine):
			return loadDelta(ctx, tx, id, l.Revision)
		}
	}
	if wanted != 0 {
		return nil, fmt.Errorf("revision %d: %w", wanted, ErrNotKept)
	}
	return nil, undoRefusal(scheduler.ErrAlready, "there is nothing left to undo", "")
}

func undoRefusal(kind error, what, mend string) error {
	return &scheduler.Refusal{Kind: kind, Field: "revision", What: what, Mend: mend}
}

func loadDelta(ctx context.Context, tx pgx.Tx, id scheduler.ID, revision int64) (*done, error) {
	var text, renames []byte
	err := tx.QueryRow(ctx, `SELECT delta, renames FROM revision WHERE job = $1 AND revision = $2`, string(id), revision).Scan(&text, &renames)
	if err != nil {
		return nil, err
	}
	d := &done{revision: revision}
	if renames != nil {
		err = json.Unmarshal(renames, &d.renames)
	}
	return d, errors.Join(err, json.Unmarshal(text, &d.delta))
}

// JobAt is the job as it was at a revision, the newest among them.
// scheduler.ErrNotFound when there is no such job, ErrNotKept when it never had that
// revision or the way back to it is not kept.
func (s *Store) JobAt(ctx context.Context, id scheduler.ID, revision int64) (job *scheduler.Job, err error) {
	// One snapshot: the job as it is and the way back belong together.
	err = pgx.BeginTxFunc(ctx, s.pool, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly}, func(tx pgx.Tx) error {
		now, err := load(ctx, tx, id)
		if err != nil {
			return err
		}
		if revision < 1 || revision > now.revision {
			return fmt.Errorf("job %q has no revision %d: %w", id, revision, ErrNotKept)
		}
		way, err := wayBack(ctx, tx, id, revision)
		if err != nil {
			return err
		}
		if int64(len(way)) != now.revision-revision {
			return fmt.Errorf("job %q at revision %d: %w", id, revision, ErrNotKept)
		}
		rows := now.rows()
		for _, d := range way {
			if err := takeBack(rows, d); err != nil {
				return fmt.Errorf("go back to revision %d of job %q: %w", revision, id, err)
			}
		}
		then, err := stateFrom(id, rows)
		if err != nil {
			return err
		}
		job = then.job
		return nil
	})
	if errors.Is(err, ErrBuiltOn) { // the history does not fit the job
		return nil, fmt.Errorf("%w: %w", errBrokenHistory, err)
	}
	return job, explain(err)
}

var errBrokenHistory = errors.New("the history of the job does not fit together")

// wayBack is what the revisions after the given one did, the newest first.
func wayBack(ctx context.Context, tx pgx.Tx, id scheduler.ID, revision int64) ([][]delta, error) {
	rows, err := tx.Query(ctx, `SELECT delta FROM revision WHERE job = $1 AND revision > $2 ORDER BY revision DESC`, string(id), revision)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, func(r pgx.CollectableRow) (way []delta, err error) {
		var text []byte
		if err := r.Scan(&text); err != nil {
			return nil, err
		}
		return way, json.Unmarshal(text, &way)
	})
}
