package scheduler

import (
	"errors"
	"fmt"
)

// What can be wrong with a command on a job. Each Refusal is one of these, or
// ErrNotFound.
var (
	ErrIncomplete = errors.New("something is missing")       // the command lacks what it needs
	ErrImpossible = errors.New("that cannot be")             // it contradicts itself or what is known
	ErrAlready    = errors.New("that has been done already") // it was done before, or there is nothing to undo
	ErrNotTheirs  = errors.New("that is for somebody else")  // another person must do it
	ErrWrongKind  = errors.New("that is not such a thing")   // the step is of another kind
)

// Refusal is a command that a job does not take: what is wrong and how to mend it,
// in words for people. errors.Is tells its kind.
type Refusal struct {
	Kind  error  // ErrIncomplete, ErrImpossible, ErrAlready, ErrNotTheirs, ErrWrongKind or ErrNotFound
	Field string // the field of the command it is about, empty: the whole
	What  string
	Mend  string
}

// Error is what is wrong, and the mend.
func (r *Refusal) Error() string {
	if r.Mend == "" {
		return r.What
	}
	return r.What + "; " + r.Mend
}

// Unwrap is the kind of the refusal.
func (r *Refusal) Unwrap() error { return r.Kind }

func refuse(kind error, field, mend, what string, args ...any) error {
	return &Refusal{Kind: kind, Field: field, What: fmt.Sprintf(what, args...), Mend: mend}
}
