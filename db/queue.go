package db

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/rivermigrate"
	"github.com/rs/zerolog"
)

// queueSchema is the schema of the tables of the queue.
const queueSchema = "queue"

// Heavy is how heavy work is done. What waits in the queue survives restarts, and any
// process that works takes it: each does one long search and one comparison at a time.
type Heavy struct {
	// Search does one round of a long search and says how good the best plan is then.
	Search func(ctx context.Context, of PlanOf, round int) (PlanHead, error)
	// Compare makes a comparison and gives its outcome as JSON.
	Compare func(ctx context.Context, c ComparisonOf) ([]byte, error)

	// Rounds is how many rounds a long search has.
	Rounds int
	// Quiet is how long a plan must have stood before a better one is searched for.
	Quiet time.Duration
	// Look is the pause between two looks for plans that could be better.
	Look time.Duration
	// Limit ends a round or a comparison: what takes longer is more than a search is
	// meant for.
	Limit time.Duration
	// Rescue is how long after its beginning a round is taken for dead, when its
	// process was killed: it is done again, here or elsewhere. More than Limit.
	Rescue time.Duration
}

// withDefaults fills in what is not said.
func (h Heavy) withDefaults() Heavy {
	set := func(d *time.Duration, to time.Duration) {
		if *d == 0 {
			*d = to
		}
	}
	set(&h.Quiet, 10*time.Second)
	set(&h.Look, 5*time.Second)
	set(&h.Limit, 2*time.Minute)
	set(&h.Rescue, h.Limit+30*time.Second)
	return h
}

// Tries and priorities of heavy work; 1 comes first.
const (
	heavyTries         = 5
	searchPriority     = 3
	comparisonPriority = 1
	searchQueue        = "search"
	comparisonQueue    = "comparison"
)

// stopLimit is how long heavy work may take to notice that it is to end.
const stopLimit = 10 * time.Second

// errOvertaken ends work on a revision that is no longer the newest.
var errOvertaken = errors.New("the job has changed meanwhile")

// Work takes heavy work off the queue until ctx ends; what is going on then is given
// back, to be begun again elsewhere. It returns the error of ctx.
func (s *Store) Work(ctx context.Context, heavy Heavy, log zerolog.Logger) error {
	heavy = heavy.withDefaults()
	workers := river.NewWorkers()
	river.AddWorker(workers, &searchWorker{store: s, heavy: heavy, log: log})
	river.AddWorker(workers, &comparisonWorker{store: s, heavy: heavy, log: log})
	client, err := river.NewClient(riverpgxv5.New(s.pool), &river.Config{
		Schema:  queueSchema,
		Workers: workers,
		Queues:  map[string]river.QueueConfig{searchQueue: {MaxWorkers: 1}, comparisonQueue: {MaxWorkers: 1}},
		// A look each second is as good as word of it here, and takes no connection for good.
		PollOnly:             true,
		JobTimeout:           heavy.Limit,
		RescueStuckJobsAfter: heavy.Rescue,
		MaxAttempts:          heavyTries,
		Logger:               slog.New(zerolog.NewSlogHandler(log.Level(zerolog.WarnLevel))),
	})
	if err != nil {
		return err
	}
	if err := client.Start(context.WithoutCancel(ctx)); err != nil {
		return fmt.Errorf("begin with heavy work: %w", explain(err))
	}
	s.lookForSearches(ctx, client, heavy, log)
	stopping, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopLimit)
	defer cancel()
	if err := client.StopAndCancel(stopping); err != nil {
		log.Error().Err(err).Msg("heavy work does not end")
	}
	return ctx.Err()
}

// migrateQueue makes the tables of the queue.
func (s *Store) migrateQueue(ctx context.Context) error {
	migrator, err := rivermigrate.New(riverpgxv5.New(s.pool), &rivermigrate.Config{
		Schema: queueSchema,
		Logger: slog.New(slog.DiscardHandler),
	})
	if err != nil {
		return err
	}
	_, err = migrator.Migrate(ctx, rivermigrate.DirectionUp, nil)
	return err
}

// inserter puts work into the queue without taking any.
func (s *Store) inserter() (*river.Client[pgx.Tx], error) {
	return river.NewClient(riverpgxv5.New(s.pool), &river.Config{
		Schema: queueSchema, MaxAttempts: heavyTries, Logger: slog.New(slog.DiscardHandler),
	})
}

// lastTry says whether work that fails now is not tried again.
func lastTry[A river.JobArgs](job *river.Job[A]) bool { return job.Attempt >= job.MaxAttempts }
