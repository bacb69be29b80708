// Package db keeps jobs in Postgres: one table for every kind of thing a job is
// made of, a line of history for every change, and the plans made of each revision.
//
// A job goes in and out whole, as scheduler types; what is written is only what
// differs. Every change is one transaction under a lock on the job, with one
// timestamp, the next revision number, and word to whoever listens once it has
// been committed. SQL lives here and nowhere else; rules live in the domain.
package db
