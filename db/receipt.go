package db

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// receiptLife is how long a request may be sent again and is known. Common practice,
// no source: a phone that was off for a week still does nothing twice.
const receiptLife = 14 * 24 * time.Hour

// receipt is the revision that the request of an edit gave when it came first, 0
// where it has no key or did not come yet. The job is locked.
func receipt(ctx context.Context, tx pgx.Tx, id scheduler.ID, e Edit) (revision int64, err error) {
	if e.Key == "" {
		return 0, nil
	}
	var print string
	err = tx.QueryRow(ctx, `SELECT print, revision FROM receipt WHERE job = $1 AND actor = $2 AND key = $3`,
		string(id), e.By.actor(), e.Key).Scan(&print, &revision)
	switch {
	case errors.Is(err, pgx.ErrNoRows):
		return 0, nil
	case err != nil:
		return 0, fmt.Errorf("look for the request's key: %w", err)
	case print != e.Print:
		return 0, ErrKeyUsed
	}
	return revision, nil
}

// keepReceipt remembers the key of an edit together with what it did, and forgets
// those that are too old.
func keepReceipt(batch *pgx.Batch, id scheduler.ID, e Edit, revision int64, now time.Time) {
	if e.Key == "" {
		return
	}
	batch.Queue(`DELETE FROM receipt WHERE job = $1 AND at < $2`, string(id), now.Add(-receiptLife))
	batch.Queue(`INSERT INTO receipt (job, actor, key, print, revision, at) VALUES ($1, $2, $3, $4, $5, $6)`,
		string(id), e.By.actor(), e.Key, e.Print, revision, now)
}
