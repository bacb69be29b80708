package attach

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"time"

	"github.com/google/uuid"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// How much may be attached. Common practice, no source.
const (
	MostBytes = 10 << 20       // of one file
	mostFiles = 1000           // of one job
	mostOfJob = 500 << 20      // bytes of one job
	undoWhile = 24 * time.Hour // so long who brought a file may take it away again
)

var (
	// ErrTooLarge is the answer to a file that is larger than one may be.
	ErrTooLarge = errors.New("a file may have 10 MiB at most")
	// ErrEmpty is the answer to a file in which nothing is.
	ErrEmpty = errors.New("the file is empty")
	// ErrBroken is the answer to a file of which not all came.
	ErrBroken = errors.New("the file did not arrive whole; send it again")
	// ErrNotYours is the answer to somebody who may not remove an attachment.
	ErrNotYours = errors.New("only the owner of the job, or within a day who brought it, removes an attachment")
)

// Store is where attachments are kept; *db.Store is one.
type Store interface {
	Attach(ctx context.Context, job scheduler.ID, a db.Attachment, content []byte, room db.Shelf) (db.Attachment, error)
	Attachments(ctx context.Context, job, step scheduler.ID) ([]db.Attachment, error)
	Attachment(ctx context.Context, job scheduler.ID, id uuid.UUID) (db.Attachment, []byte, error)
	RemoveAttachment(ctx context.Context, job scheduler.ID, id uuid.UUID, by db.Author, may func(db.Attachment) error) error
}

// Box holds the attachments of all jobs.
type Box struct {
	store Store
	now   func() time.Time
}

// New is a box over a store.
func New(store Store, now func() time.Time) *Box { return &Box{store: store, now: now} }

// Bring keeps a file. Its name is made harmless, and its kind is what its content
// shows. Whoever calls has seen that the job has the step.
func (b *Box) Bring(ctx context.Context, job, step scheduler.ID, name string, by db.Author, file io.Reader) (db.Attachment, error) {
	content, err := io.ReadAll(io.LimitReader(file, MostBytes+1))
	switch {
	case err != nil:
		return db.Attachment{}, fmt.Errorf("%w: %w", ErrBroken, err)
	case len(content) > MostBytes:
		return db.Attachment{}, ErrTooLarge
	case len(content) == 0:
		return db.Attachment{}, ErrEmpty
	}
	kind, err := kindOf(content)
	if err != nil {
		return db.Attachment{}, err
	}
	a := db.Attachment{Step: step, Name: nameOf(name, kind), Kind: kind, By: by}
	return b.store.Attach(ctx, job, a, content, db.Shelf{Count: mostFiles, Bytes: mostOfJob})
}

// List is what is attached to a job, or to one of its steps, the newest first.
func (b *Box) List(ctx context.Context, job, step scheduler.ID) ([]db.Attachment, error) {
	return b.store.Attachments(ctx, job, step)
}

// Open is one attachment with its content.
func (b *Box) Open(ctx context.Context, job scheduler.ID, id string) (db.Attachment, []byte, error) {
	named, err := idOf(job, id)
	if err != nil {
		return db.Attachment{}, nil, err
	}
	return b.store.Attachment(ctx, job, named)
}

// Remove takes an attachment away. The owner of the job may, and who brought it
// within a day.
func (b *Box) Remove(ctx context.Context, job scheduler.ID, id string, by db.Author, owner bool) error {
	named, err := idOf(job, id)
	if err != nil {
		return err
	}
	return b.store.RemoveAttachment(ctx, job, named, by, func(a db.Attachment) error {
		if !b.Removes(a, by, owner) {
			return ErrNotYours
		}
		return nil
	})
}

// Removes says whether somebody may take an attachment away.
func (b *Box) Removes(a db.Attachment, by db.Author, owner bool) bool {
	if a.RemovedAt != nil {
		return false
	}
	theirs := by.Account != uuid.Nil && by.Account == a.By.Account
	return owner || theirs && b.now().Sub(a.At) < undoWhile
}

func idOf(job scheduler.ID, id string) (uuid.UUID, error) {
	named, err := uuid.Parse(id)
	if err != nil || len(id) != len(uuid.UUID{}.String()) {
		return uuid.Nil, fmt.Errorf("attachment of job %q: %w", job, scheduler.ErrNotFound)
	}
	return named, nil
}

// Policy is that of a file: were it shown after all, nothing in it would run, load or
// lead anywhere.
const Policy = "default-src 'none'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'; sandbox"

// Head writes the headers under which a file is given out.
func Head(h http.Header, a db.Attachment) {
	h.Set("Content-Type", a.Kind)
	h.Set("Content-Disposition", disposition(a.Name))
	h.Set("Content-Length", strconv.FormatInt(a.Size, 10))
	h.Set("Content-Security-Policy", Policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "private, no-cache")
	h.Set("ETag", Tag(a))
}

// Tag is the ETag of a file: its content never changes.
func Tag(a db.Attachment) string { return fmt.Sprintf("%q", fmt.Sprintf("%x", a.Sum)) }
