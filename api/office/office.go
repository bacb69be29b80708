// Package office keeps the current plan of each job: it loads a job, plans it,
// stores the plan, applies changes, and tells whoever watches. The API and the
// pages share it, so that both show the same plan of the same revision.
package office

import (
	"context"
	"errors"
	"sync"
	"time"

	"github.com/google/uuid"
	"github.com/rs/zerolog"
	"golang.org/x/sync/singleflight"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Store is what the office needs of the database; *db.Store is one.
type Store interface {
	Jobs(ctx context.Context) ([]db.JobHead, error)
	JobsOf(ctx context.Context, account uuid.UUID) ([]db.JobHead, error)
	Job(ctx context.Context, id scheduler.ID) (*scheduler.Job, int64, error)
	Put(ctx context.Context, job *scheduler.Job, e db.Edit) (int64, error)
	Change(ctx context.Context, id scheduler.ID, e db.Edit, change func(*scheduler.Job) error) (int64, error)
	Undo(ctx context.Context, id scheduler.ID, revision int64, mine bool, e db.Edit) (int64, error)
	History(ctx context.Context, id scheduler.ID, before int64, limit int) ([]db.HistoryLine, error)
	Revisions(ctx context.Context, id scheduler.ID, before int64, limit int) ([]db.Revision, error)
	JobAt(ctx context.Context, id scheduler.ID, revision int64) (*scheduler.Job, error)
	SavePlan(ctx context.Context, id scheduler.ID, revision int64, asOf worktime.Date, plan *scheduler.Plan) error
	LoadPlan(ctx context.Context, id scheduler.ID, revision int64, asOf worktime.Date) (*scheduler.Plan, error)
	Issue(ctx context.Context, id scheduler.ID, e db.Edit, plan *scheduler.Plan, i scheduler.Issue) (letter string, revision int64, err error)
	IssuedPlan(ctx context.Context, id scheduler.ID, letter string) (*db.IssuedPlan, error)
	Shown(ctx context.Context, job, trade scheduler.ID) ([]db.ShownWindow, error)
	Show(ctx context.Context, job, trade scheduler.ID, revision int64, show func(kept []db.ShownWindow, at time.Time) []db.ShownWindow) ([]db.ShownWindow, error)
	Listen(ctx context.Context, heard func(id scheduler.ID, revision int64)) error
}

// Planner makes the plan of a job as of a day.
type Planner func(ctx context.Context, job *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error)

// ErrClosed is the answer of an office that is closed.
var ErrClosed = errors.New("the office is closed")

// planLimit ends a plan that takes absurdly long, so that a request gets an answer.
const planLimit = 2 * time.Minute

// Office answers with the current sheet of each job. Make one with New; it is
// safe for use by many goroutines.
type Office struct {
	store Store
	now   func() time.Time
	log   zerolog.Logger
	plan  Planner // nil: near the plan before
	told  func(took time.Duration, proven bool)

	ctx     context.Context // plans run in it: they outlive the request that asked first
	cancel  context.CancelFunc
	running sync.WaitGroup
	flights singleflight.Group

	mu       sync.Mutex
	shelves  map[scheduler.ID]*shelf
	last     map[scheduler.ID]remembered     // by job
	issued   map[scheduler.ID]*db.IssuedPlan // the one asked for last, by job
	watchers map[scheduler.ID]map[*watcher]struct{}
}

// Option changes how an office works.
type Option func(*Office)

// WithPlanner has the office plan with p, each plan from nothing.
func WithPlanner(p Planner) Option { return func(o *Office) { o.plan = p } }

// WithPlanned has each plan that is made told, with how long it took and whether it
// is proven the best.
func WithPlanned(told func(took time.Duration, proven bool)) Option {
	return func(o *Office) { o.told = told }
}

// New opens an office over a store. The clock gives "today" for jobs without an
// as-of day of their own. Close it before the store.
func New(store Store, now func() time.Time, log zerolog.Logger, options ...Option) *Office {
	ctx, cancel := context.WithCancel(context.Background())
	o := &Office{
		store: store, now: now, log: log, told: func(time.Duration, bool) {},
		ctx: ctx, cancel: cancel,
		shelves:  make(map[scheduler.ID]*shelf),
		last:     make(map[scheduler.ID]remembered),
		issued:   make(map[scheduler.ID]*db.IssuedPlan),
		watchers: make(map[scheduler.ID]map[*watcher]struct{}),
	}
	for _, option := range options {
		option(o)
	}
	return o
}

// Close breaks off what is being planned and waits until nothing runs.
func (o *Office) Close() {
	o.mu.Lock()
	o.cancel()
	o.mu.Unlock()
	o.running.Wait()
}

// begin counts one more thing running, unless the office is closed.
func (o *Office) begin() bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.ctx.Err() != nil {
		return false
	}
	o.running.Add(1)
	return true
}

// Jobs is the head of every job.
func (o *Office) Jobs(ctx context.Context) ([]db.JobHead, error) { return o.store.Jobs(ctx) }

// JobsOf is the head of every job that an account has a seat on.
func (o *Office) JobsOf(ctx context.Context, account uuid.UUID) ([]db.JobHead, error) {
	return o.store.JobsOf(ctx, account)
}

// Job is one job as it stands and its revision. It is shared: do not change it.
func (o *Office) Job(ctx context.Context, id scheduler.ID) (*scheduler.Job, int64, error) {
	s, err := o.shelf(ctx, id)
	if err != nil {
		return nil, 0, err
	}
	return s.job, s.revision, nil
}
