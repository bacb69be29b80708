package db

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// Attachment is something attached to a step, without what is in it.
type Attachment struct {
	ID   uuid.UUID
	Step scheduler.ID
	Name string // of the file
	Kind string // media type
	Size int64  // bytes
	Sum  []byte // SHA-256
	At   time.Time
	By   Author

	RemovedAt *time.Time // nil: it is there
	RemovedBy string
}

// Shelf is how much may be attached to one job.
type Shelf struct {
	Count int64
	Bytes int64
}

// ErrShelfFull is the answer to an attachment more than a job may have.
var ErrShelfFull = errors.New("no more can be attached to this job")

const attachmentColumns = `id, step, name, kind, size, sum, brought_at, brought_by, brought_account, brought_link, removed_at, coalesce(removed_by, '')`

func scanAttachment(row pgx.CollectableRow) (Attachment, error) {
	var a Attachment
	var account, link *uuid.UUID
	err := row.Scan(&a.ID, &a.Step, &a.Name, &a.Kind, &a.Size, &a.Sum, &a.At, &a.By.Name, &account, &link, &a.RemovedAt, &a.RemovedBy)
	if account != nil {
		a.By.Account = *account
	}
	if link != nil {
		a.By.Link = *link
	}
	return a, err
}

// Attach keeps an attachment and gives it back as it is kept. The same content under
// the same name at the same step is kept once: whoever sends it again, because the
// answer was lost, gets the first one back.
func (s *Store) Attach(ctx context.Context, job scheduler.ID, a Attachment, content []byte, room Shelf) (Attachment, error) {
	sum := sha256.Sum256(content)
	var kept Attachment
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		// Two who attach at once take turns, so that the room is not given twice.
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtextextended('gaugerod attachments ' || $1, 0))`, string(job)); err != nil {
			return err
		}
		rows, err := tx.Query(ctx, `
			SELECT `+attachmentColumns+` FROM attachment
			WHERE job = $1 AND step = $2 AND sum = $3 AND name = $4 AND content IS NOT NULL`, string(job), string(a.Step), sum[:], a.Name)
		if err != nil {
			return err
		}
		kept, err = pgx.CollectExactlyOneRow(rows, scanAttachment)
		if !errors.Is(err, pgx.ErrNoRows) {
			return err
		}
		var count, bytes int64
		if err := tx.QueryRow(ctx, `
			SELECT count(*), coalesce(sum(size), 0)::bigint FROM attachment WHERE job = $1 AND content IS NOT NULL`, string(job)).Scan(&count, &bytes); err != nil {
			return err
		}
		if count >= room.Count || bytes+int64(len(content)) > room.Bytes {
			return ErrShelfFull
		}
		rows, err = tx.Query(ctx, `
			INSERT INTO attachment (job, id, step, name, kind, size, sum, content, brought_at, brought_by, brought_account, brought_link)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)
			RETURNING `+attachmentColumns,
			string(job), uuid.New(), string(a.Step), a.Name, a.Kind, len(content), sum[:], content, s.now().UTC(), a.By.Name, orNull(a.By.Account), orNull(a.By.Link))
		if err != nil {
			return err
		}
		kept, err = pgx.CollectExactlyOneRow(rows, scanAttachment)
		return err
	})
	if err != nil {
		return Attachment{}, fmt.Errorf("attach to job %q: %w", job, explain(err))
	}
	return kept, nil
}

// orNull is an ID as it is written, null for none.
func orNull(id uuid.UUID) *uuid.UUID {
	if id == uuid.Nil {
		return nil
	}
	return &id
}

// Attachments are those of a job, or of one of its steps, the newest first; removed
// ones too.
func (s *Store) Attachments(ctx context.Context, job, step scheduler.ID) ([]Attachment, error) {
	return rowsOf(ctx, s, job, "attachments", scanAttachment, `
		SELECT `+attachmentColumns+` FROM attachment
		WHERE job = $1 AND ($2 = '' OR step = $2)
		ORDER BY brought_at DESC, id`, string(job), string(step))
}

// Attachment is one with what is in it; scheduler.ErrNotFound where it is not there,
// or no more.
func (s *Store) Attachment(ctx context.Context, job scheduler.ID, id uuid.UUID) (Attachment, []byte, error) {
	a, err := oneAttachment(ctx, s.pool, job, id, "")
	if err != nil {
		return Attachment{}, nil, explain(err)
	}
	var content []byte
	err = s.pool.QueryRow(ctx, `SELECT content FROM attachment WHERE job = $1 AND id = $2 AND content IS NOT NULL`, string(job), id).Scan(&content)
	if errors.Is(err, pgx.ErrNoRows) {
		return Attachment{}, nil, noAttachment(job, id)
	}
	return a, content, explain(err)
}

// RemoveAttachment takes away what is in an attachment, unless may says why not. That
// it was there, and who took it away, stays.
func (s *Store) RemoveAttachment(ctx context.Context, job scheduler.ID, id uuid.UUID, by Author, may func(Attachment) error) error {
	return explain(pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		a, err := oneAttachment(ctx, tx, job, id, " FOR UPDATE")
		if err != nil {
			return err
		}
		if err := may(a); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `
			UPDATE attachment SET content = NULL, removed_at = $3, removed_by = $4 WHERE job = $1 AND id = $2`,
			string(job), id, s.now().UTC(), by.Name)
		return err
	}))
}

// asks is a pool or a transaction.
type asks interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
}

func oneAttachment(ctx context.Context, of asks, job scheduler.ID, id uuid.UUID, lock string) (Attachment, error) {
	rows, err := of.Query(ctx, `
		SELECT `+attachmentColumns+` FROM attachment WHERE job = $1 AND id = $2 AND content IS NOT NULL`+lock, string(job), id)
	if err != nil {
		return Attachment{}, err
	}
	a, err := pgx.CollectExactlyOneRow(rows, scanAttachment)
	if errors.Is(err, pgx.ErrNoRows) {
		return Attachment{}, noAttachment(job, id)
	}
	return a, err
}

func noAttachment(job scheduler.ID, id uuid.UUID) error {
	return fmt.Errorf("attachment %s of job %q: %w", id, job, scheduler.ErrNotFound)
}
