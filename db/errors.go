package db

import "errors"

// ErrStale is the answer to a change that was made from a revision of the job that
// is no longer the newest.
var ErrStale = errors.New("the job has changed meanwhile")
