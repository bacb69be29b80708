package db

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var errNotYet = errors.New("not written yet")

// Store keeps jobs in one Postgres database. It is safe for use by many at once.
type Store struct {
	pool *pgxpool.Pool
	now  func() time.Time
}

// JobHead is a job without its content.
type JobHead struct {
	ID       scheduler.ID
	Title    string
	Revision int64
	Changed  time.Time
}

// HistoryLine is one thing that one change made, changed or took away.
type HistoryLine struct {
	Revision int64     // the revision that the change made
	At       time.Time // when
	Who      string
	Kind     string // what kind of thing: task, hold, fact, …
	Key      string // which: the name of the thing within the job
	Was      []byte // JSON of the thing before, nil: it was not there
	Is       []byte // JSON of the thing after, nil: it was taken away
}

// Open connects to a database. The address is what libpq takes: a URL or words
// like "host=/run/postgresql dbname=gaugerod". Every timestamp comes from now.
func Open(ctx context.Context, address string, now func() time.Time) (*Store, error) {
	return nil, errNotYet
}

// Close gives the connections back.
func (s *Store) Close() {}

// Ping says whether the database answers.
func (s *Store) Ping(ctx context.Context) error { return errNotYet }

// Migrate brings the schema up to date. Any number may call it at once: one does
// the work, the others wait.
func (s *Store) Migrate(ctx context.Context) error { return errNotYet }

// Jobs lists the jobs by ID.
func (s *Store) Jobs(ctx context.Context) ([]JobHead, error) { return nil, errNotYet }

// Job is the newest state of a job with its revision; scheduler.ErrNotFound when
// there is none of that ID.
func (s *Store) Job(ctx context.Context, id scheduler.ID) (*scheduler.Job, int64, error) {
	return nil, 0, errNotYet
}

// Put creates the job or replaces the whole of it, and returns the revision.
func (s *Store) Put(ctx context.Context, job *scheduler.Job, by string) (int64, error) {
	return 0, errNotYet
}

// Change applies change to the newest state of the job and keeps the outcome; it
// returns the new revision, or the old one when nothing differs.
func (s *Store) Change(ctx context.Context, id scheduler.ID, by string, change func(*scheduler.Job) error) (int64, error) {
	return 0, errNotYet
}

// ChangeAt is Change, refused with ErrStale unless the newest revision is the given one.
func (s *Store) ChangeAt(ctx context.Context, id scheduler.ID, revision int64, by string, change func(*scheduler.Job) error) (int64, error) {
	return 0, errNotYet
}

// History is the newest lines of the job's history, the newest first.
func (s *Store) History(ctx context.Context, id scheduler.ID, limit int) ([]HistoryLine, error) {
	return nil, errNotYet
}

// SavePlan keeps the plan of one revision as of one day.
func (s *Store) SavePlan(ctx context.Context, id scheduler.ID, revision int64, asOf worktime.Date, plan *scheduler.Plan) error {
	return errNotYet
}

// LoadPlan gives a kept plan back; scheduler.ErrNotFound when there is none.
func (s *Store) LoadPlan(ctx context.Context, id scheduler.ID, revision int64, asOf worktime.Date) (*scheduler.Plan, error) {
	return nil, errNotYet
}

// Listen calls heard with the revision of every job at first and after each lost
// connection, and then with each change committed by anybody, until ctx ends.
func (s *Store) Listen(ctx context.Context, heard func(id scheduler.ID, revision int64)) error {
	return errNotYet
}
