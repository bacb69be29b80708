package db

import "slices"

// What tests ask of the inside.
var (
	ArchivedNames = archivedNames
	LeftOut       = leftOut
	Explain       = explain
	BesideJob     = slices.Concat(archived, []string{"session", "search", "comparison"})
)

// HoldAtMost has a store hold so many rows of jobs in memory: with 0 each job is read
// from the database each time.
func HoldAtMost(s *Store, rows int) { s.held.most = rows }

// Held is how many rows a store holds, and of how many jobs.
func Held(s *Store) (rows, jobs int) { return s.held.rows, len(s.held.states) }
