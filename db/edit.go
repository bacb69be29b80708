package db

import (
	"errors"
	"fmt"

	"github.com/google/uuid"
)

// Author is who makes a change. The name stands in the history; the account, or the
// private link of a trade, tells later whose change it was.
type Author struct {
	Name    string
	Account uuid.UUID // zero: none
	Link    uuid.UUID // zero: none
}

// actor is what keeps the keys of one author's requests apart from another's.
func (a Author) actor() uuid.UUID {
	if a.Link != uuid.Nil {
		return a.Link
	}
	return a.Account
}

// made says whether a change of that account and link is this author's.
func (a Author) made(account, link *uuid.UUID) bool {
	is := func(kept *uuid.UUID, own uuid.UUID) bool {
		if kept == nil {
			return own == uuid.Nil
		}
		return *kept == own
	}
	return is(account, a.Account) && is(link, a.Link)
}

// Edit is how a change is asked for.
type Edit struct {
	By Author
	At int64 // the revision it was made from; 0: whichever is the newest

	// New says that it makes the job: a *scheduler.Refusal, ErrAlready, where one of that
	// ID is there.
	New bool

	// Seen is the revision that the author looked at, and About the key, in the
	// history, of the thing that the edit is about: a *TouchedError refuses it when
	// that thing has changed since. Other things may have.
	Seen  int64
	About string

	// Key is the author's own name for the request, empty where it has none: the same
	// key again does nothing and gives the revision that it gave the first time.
	Key string
	// Print tells requests apart that share a key by mistake.
	Print string
}

// By is an edit of the newest revision by who has a name and no account: a command,
// the program itself.
func By(name string) Edit { return Edit{By: Author{Name: name}} }

// ErrStale is the answer to a change that was made from a revision of the job that
// is no longer the newest.
var ErrStale = errors.New("the job has changed meanwhile")

// ErrKeyUsed is the answer to a key that its author has used for another request.
var ErrKeyUsed = errors.New("this key belongs to another request")

// ErrBuiltOn is the answer to the undoing of a change whose things others have
// changed since.
var ErrBuiltOn = errors.New("later changes rest on it")

// ErrNotKept is the answer to a question about a revision of which no record is kept.
var ErrNotKept = errors.New("the state of that revision is not kept")

// TouchedError is the newest line of history about a thing that was changed since its
// reader saw it.
type TouchedError struct{ Line HistoryLine }

func (e *TouchedError) Error() string {
	return fmt.Sprintf("%s %s was changed in revision %d: %v", e.Line.Kind, e.Line.Key, e.Line.Revision, ErrStale)
}

// Unwrap is ErrStale.
func (e *TouchedError) Unwrap() error { return ErrStale }

// StaleError is ErrStale with the revision that the job is at.
type StaleError struct {
	At, Newest int64
}

func (e *StaleError) Error() string {
	return fmt.Sprintf("the job is at revision %d, not %d: %v", e.Newest, e.At, ErrStale)
}

// Unwrap is ErrStale.
func (e *StaleError) Unwrap() error { return ErrStale }
