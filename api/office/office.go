// Package office keeps the current plan of each job: it loads a job, plans it,
// stores the plan, applies changes, and tells whoever watches. The API and the
// pages share it, so that both show the same plan of the same revision. Any number
// of offices may work over one database.
package office

import (
	"context"
	"errors"
	"runtime"
	"sync"
	"sync/atomic"
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
	Standing(ctx context.Context, id scheduler.ID, asOf worktime.Date) (revision int64, take int, err error)
	Put(ctx context.Context, job *scheduler.Job, e db.Edit) (int64, error)
	Change(ctx context.Context, id scheduler.ID, e db.Edit, change func(*scheduler.Job) error) (int64, error)
	Rename(ctx context.Context, id scheduler.ID, e db.Edit, thing scheduler.Named, to scheduler.ID) (int64, error)
	Undo(ctx context.Context, id scheduler.ID, revision int64, mine bool, e db.Edit) (int64, error)
	History(ctx context.Context, id scheduler.ID, before int64, limit int) ([]db.HistoryLine, error)
	Revisions(ctx context.Context, id scheduler.ID, before int64, limit int) ([]db.Revision, error)
	JobAt(ctx context.Context, id scheduler.ID, revision int64) (*scheduler.Job, error)
	Issue(ctx context.Context, id scheduler.ID, e db.Edit, plan *scheduler.Plan, i scheduler.Issue) (letter string, revision int64, err error)
	IssuedPlan(ctx context.Context, id scheduler.ID, letter string) (*db.IssuedPlan, error)
	Shown(ctx context.Context, job, trade scheduler.ID) ([]db.ShownWindow, error)
	Show(ctx context.Context, job, trade scheduler.ID, revision int64, show func(kept []db.ShownWindow, at time.Time) []db.ShownWindow) ([]db.ShownWindow, error)
	Plans
	Queue
	Trials
	Listen(ctx context.Context, heard func(db.Word)) error
}

// Plans is where plans are kept, and how instances agree on who makes them.
type Plans interface {
	Claim(ctx context.Context, of db.PlanOf) (db.Claim, error)
	SavePlan(ctx context.Context, of db.PlanOf, plan db.PackedPlan, usual bool) (head db.PlanHead, kept bool, err error)
	BetterPlan(ctx context.Context, of db.PlanOf, plan db.PackedPlan, take int) (head db.PlanHead, kept bool, err error)
	LoadPlan(ctx context.Context, of db.PlanOf) (*scheduler.Plan, db.PlanHead, error)
	PlanBefore(ctx context.Context, of db.PlanOf, known int64) (*scheduler.Plan, error)
	PlanHeads(ctx context.Context, id scheduler.ID, revision int64) ([]db.PlanHead, error)
}

// Queue is where heavy work waits.
type Queue interface {
	Work(ctx context.Context, heavy db.Heavy, log zerolog.Logger) error
	Searches(ctx context.Context, id scheduler.ID, limit int) ([]db.Search, error)
	AskForComparison(ctx context.Context, of db.ComparisonOf) (db.Comparison, error)
	Comparison(ctx context.Context, of db.ComparisonOf) (db.Comparison, error)
}

// Planner makes the plan of a job as of a day.
type Planner func(ctx context.Context, job *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error)

// ErrClosed is the answer of an office that is closed.
var ErrClosed = errors.New("the office is closed")

// Limits of what an office does.
const (
	planLimit = 2 * time.Minute // ends a plan that takes absurdly long, so that a request gets an answer
	usualRoom = 112 << 20       // bytes of jobs and plans that are kept in memory
)

// Office answers with the current sheet of each job. Make one with New; it is
// safe for use by many goroutines.
type Office struct {
	store Store
	now   func() time.Time
	log   zerolog.Logger
	plan  Planner // nil: near the plan before
	told  func(took time.Duration, proven bool)
	heavy db.Heavy

	ctx     context.Context // plans run in it: they outlive the request that asked first
	cancel  context.CancelFunc
	running sync.WaitGroup
	loads   singleflight.Group
	slots   slots
	tried   triedShelf
	asked   atomic.Int64 // how often anything was asked of it
	zones   zones

	mu       sync.Mutex
	issued   map[scheduler.ID]*db.IssuedPlan // the one asked for last, by job
	shelves  shelves
	ahead    map[scheduler.ID]*runner
	flights  map[db.PlanOf]*flight
	last     map[scheduler.ID]*flight // of each job, whose end the next one waits for
	known    map[scheduler.ID]int64   // the newest revision heard of
	cut      map[scheduler.ID]int     // plannings broken off since one came to its end
	searches map[db.PlanOf]context.CancelCauseFunc
	watchers map[scheduler.ID]map[*Watch]struct{}
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

// WithRoom has it keep so many bytes of jobs and plans in memory, by rough count.
func WithRoom(bytes int) Option { return func(o *Office) { o.shelves.room = bytes } }

// WithHeavy says how it does heavy work; what is not said is as usual.
func WithHeavy(h db.Heavy) Option { return func(o *Office) { o.heavy = h } }

// New opens an office over a store. The clock gives "today" for jobs without an
// as-of day of their own. Close it before the store.
func New(store Store, now func() time.Time, log zerolog.Logger, options ...Option) *Office {
	ctx, cancel := context.WithCancel(context.Background())
	o := &Office{
		store: store, now: now, log: log, told: func(time.Duration, bool) {},
		ctx: ctx, cancel: cancel,
		issued:   map[scheduler.ID]*db.IssuedPlan{},
		slots:    newSlots(runtime.GOMAXPROCS(0)),
		shelves:  shelves{room: usualRoom, by: map[scheduler.ID]*shelf{}},
		ahead:    map[scheduler.ID]*runner{},
		flights:  map[db.PlanOf]*flight{},
		last:     map[scheduler.ID]*flight{},
		known:    map[scheduler.ID]int64{},
		cut:      map[scheduler.ID]int{},
		searches: map[db.PlanOf]context.CancelCauseFunc{},
		watchers: map[scheduler.ID]map[*Watch]struct{}{},
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

// begin counts one more thing running, unless the office is closed. It is called with
// mu held.
func (o *Office) begin() bool {
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
	s, _, err := o.shelf(ctx, id, nil)
	if err != nil {
		return nil, 0, err
	}
	return s.job, s.revision, nil
}

// Searches is the last long searches for better plans of a job, the newest first.
func (o *Office) Searches(ctx context.Context, id scheduler.ID, limit int) ([]db.Search, error) {
	return o.store.Searches(ctx, id, limit)
}
