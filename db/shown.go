package db

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// ShownWindow is a window of access as the calendars of its trade have been shown it.
type ShownWindow struct {
	UID       string         // of the event
	Steps     []scheduler.ID // of the window
	Place     scheduler.ID
	Sequence  int       // how often it has been shown differently
	ChangedAt time.Time // when it was first shown as it is
	From      time.Time
	Until     time.Time
	Summary   string
	Words     string
	Cancelled bool // it is gone, and calendars are told so
}

// Shown are the windows that the calendars of a trade have been shown.
func (s *Store) Shown(ctx context.Context, job, trade scheduler.ID) ([]ShownWindow, error) {
	shown, _, err := shownOf(ctx, s.pool, job, trade)
	if err != nil {
		return nil, fmt.Errorf("read what calendars of job %q were shown: %w", job, explain(err))
	}
	return shown, nil
}

type queryer interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
}

// shownOf also gives the newest revision of which any was shown.
func shownOf(ctx context.Context, q queryer, job, trade scheduler.ID) ([]ShownWindow, int64, error) {
	rows, err := q.Query(ctx, `
		SELECT uid, steps, place, sequence, changed_at, from_at, until_at, summary, words, cancelled, revision
		FROM shown_window WHERE job = $1 AND trade = $2 ORDER BY uid COLLATE "C"`, string(job), string(trade))
	if err != nil {
		return nil, 0, err
	}
	var newest int64
	shown, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (w ShownWindow, err error) {
		var revision int64
		err = row.Scan(&w.UID, &w.Steps, &w.Place, &w.Sequence, &w.ChangedAt, &w.From, &w.Until, &w.Summary, &w.Words, &w.Cancelled, &revision)
		newest = max(newest, revision)
		return w, err
	})
	return shown, newest, err
}

// Show keeps what calendars of a trade are shown from a revision on. Show makes the
// list from the one kept so far; those who ask at once take turns. Where calendars
// have been shown a newer revision already, nothing is kept of the older one. Nothing
// is ever taken out of the list.
func (s *Store) Show(ctx context.Context, job, trade scheduler.ID, revision int64, show func(kept []ShownWindow, at time.Time) []ShownWindow) ([]ShownWindow, error) {
	var shown []ShownWindow
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtextextended('gaugerod calendar ' || $1 || ' ' || $2, 0))`, string(job), string(trade)); err != nil {
			return err
		}
		kept, newest, err := shownOf(ctx, tx, job, trade)
		if err != nil {
			return err
		}
		shown = show(kept, s.now().UTC())
		if newest > revision {
			return nil
		}
		batch := &pgx.Batch{}
		for k := range shown {
			w := &shown[k]
			steps := make([]string, len(w.Steps))
			for n, id := range w.Steps {
				steps[n] = string(id)
			}
			batch.Queue(`
				INSERT INTO shown_window (job, trade, uid, steps, place, sequence, changed_at, from_at, until_at, summary, words, cancelled, revision)
				VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)
				ON CONFLICT (job, uid) DO UPDATE SET steps = EXCLUDED.steps, place = EXCLUDED.place, sequence = EXCLUDED.sequence,
					changed_at = EXCLUDED.changed_at, from_at = EXCLUDED.from_at, until_at = EXCLUDED.until_at, summary = EXCLUDED.summary,
					words = EXCLUDED.words, cancelled = EXCLUDED.cancelled, revision = EXCLUDED.revision`,
				string(job), string(trade), w.UID, steps, string(w.Place), w.Sequence, w.ChangedAt, w.From, w.Until, w.Summary, w.Words, w.Cancelled, revision)
		}
		return tx.SendBatch(ctx, batch).Close()
	})
	if err != nil {
		return nil, fmt.Errorf("keep what calendars of job %q are shown: %w", job, explain(err))
	}
	return shown, nil
}
