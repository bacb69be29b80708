package db

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"
	"github.com/rs/zerolog"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Search is a long search for a better plan than the quick one that was not proven the
// shortest. There is one for each revision and day, ever.
type Search struct {
	Revision      int64
	AsOf          worktime.Date
	State         SearchState
	Round, Rounds int       // how many are done, of how many
	Finish        time.Time // of the best plan known
	Proven        bool      // that it is the shortest
	Asked         time.Time
	Begun, Ended  *time.Time
}

// SearchState is how far a search has come.
type SearchState string

// The states of a search.
const (
	SearchWaiting   SearchState = "waiting"
	SearchRunning   SearchState = "running"
	SearchDone      SearchState = "done"
	SearchOvertaken SearchState = "overtaken" // the job has changed meanwhile
	SearchGivenUp   SearchState = "given up"  // it failed again and again
)

// Searches lists the newest searches of a job, the newest revision first.
func (s *Store) Searches(ctx context.Context, id scheduler.ID, limit int) ([]Search, error) {
	return rowsOf(ctx, s, id, "searches", scanSearch, `
		SELECT revision, as_of_day::text, state, round, rounds, finish, proven, asked_at, begun_at, ended_at
		FROM search WHERE job = $1 ORDER BY revision DESC, as_of_day DESC LIMIT $2`, string(id), limit)
}

func scanSearch(row pgx.CollectableRow) (f Search, err error) {
	var day string
	if err := row.Scan(&f.Revision, &day, &f.State, &f.Round, &f.Rounds, &f.Finish, &f.Proven, &f.Asked, &f.Begun, &f.Ended); err != nil {
		return f, err
	}
	f.AsOf, err = worktime.ParseDate(day)
	return f, err
}

// searchWork is a long search in the queue.
type searchWork struct {
	Job      scheduler.ID  `json:"job"`
	Revision int64         `json:"revision"`
	AsOf     worktime.Date `json:"as_of"`
}

// Kind names it in the queue.
func (searchWork) Kind() string { return "search" }

// InsertOpts has one for each revision and day at most.
func (searchWork) InsertOpts() river.InsertOpts {
	return river.InsertOpts{Queue: searchQueue, Priority: searchPriority, UniqueOpts: river.UniqueOpts{ByArgs: true, ByState: rivertype.JobStates()}}
}

func (w searchWork) of() PlanOf { return PlanOf(w) }

// lookForSearches asks again and again which plans could be better, until ctx ends.
// Any number of processes may ask at once.
func (s *Store) lookForSearches(ctx context.Context, client *river.Client[pgx.Tx], heavy Heavy, log zerolog.Logger) {
	looks := time.NewTicker(heavy.Look)
	defer looks.Stop()
	for {
		if err := s.askForSearches(ctx, client, heavy); err != nil && ctx.Err() == nil && !errors.Is(err, ErrUnavailable) {
			log.Error().Err(err).Msg("plans that could be better were not found")
		}
		select {
		case <-ctx.Done():
			return
		case <-looks.C:
		}
	}
}

// askForSearches puts a search into the queue for each plan of a newest revision that
// was not proven the shortest, has stood for a while and has had none. Searches of
// older revisions are over.
func (s *Store) askForSearches(ctx context.Context, client *river.Client[pgx.Tx], heavy Heavy) error {
	now := s.now().UTC()
	return explain(pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			UPDATE search f SET state = $1, ended_at = $2
			FROM job j WHERE j.id = f.job AND f.revision < j.revision AND f.ended_at IS NULL`, string(SearchOvertaken), now)
		if err != nil {
			return err
		}
		rows, err := tx.Query(ctx, `
			INSERT INTO search (job, revision, as_of_day, state, rounds, finish, asked_at)
			SELECT p.job, p.revision, p.as_of_day, $1, $2, p.finish, $3
			FROM plan p JOIN job j ON j.id = p.job AND j.revision = p.revision
			WHERE p.usual AND NOT p.proven AND p.made_at <= $4
			ON CONFLICT DO NOTHING
			RETURNING job, revision, as_of_day::text`, string(SearchWaiting), heavy.Rounds, now, now.Add(-heavy.Quiet))
		if err != nil {
			return err
		}
		work, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (p river.InsertManyParams, err error) {
			var w searchWork
			var day string
			if err := row.Scan(&w.Job, &w.Revision, &day); err != nil {
				return p, err
			}
			w.AsOf, err = worktime.ParseDate(day)
			return river.InsertManyParams{Args: w}, err
		})
		if err != nil || len(work) == 0 {
			return err
		}
		_, err = client.InsertManyTx(ctx, tx, work)
		return err
	}))
}

// searchWorker does long searches, round by round.
type searchWorker struct {
	river.WorkerDefaults[searchWork]
	store *Store
	heavy Heavy
	log   zerolog.Logger
}

// Work does one round and says where the search stands then.
func (w *searchWorker) Work(ctx context.Context, job *river.Job[searchWork]) error {
	of := job.Args.of()
	round, err := w.store.beginRound(ctx, of)
	if errors.Is(err, errOvertaken) {
		return river.JobCancel(err)
	}
	if err != nil {
		return err
	}
	best, err := w.heavy.Search(ctx, of, round)
	switch {
	case err == nil:
	case errors.Is(context.Cause(ctx), context.DeadlineExceeded):
		return w.store.endSearch(ctx, of, SearchDone) // the rounds so far are what could be done in the time
	case ctx.Err() != nil:
		return err // stopped: it goes back into the queue
	case errors.Is(err, scheduler.ErrNotFound), errors.Is(err, ErrStale):
		return errors.Join(w.store.endSearch(ctx, of, SearchOvertaken), river.JobCancel(errOvertaken))
	default:
		w.log.Error().Err(err).Str("job", string(of.Job)).Int64("revision", of.Revision).Int("round", round).Msg("a long search failed")
		if lastTry(job) {
			return errors.Join(err, w.store.endSearch(ctx, of, SearchGivenUp))
		}
		return err
	}
	done, err := w.store.endRound(ctx, of, best)
	if err != nil || done {
		return err
	}
	return river.JobSnooze(0)
}

// beginRound says which round is next; errOvertaken when there is none any more.
func (s *Store) beginRound(ctx context.Context, of PlanOf) (round int, err error) {
	err = s.pool.QueryRow(ctx, `
		UPDATE search f SET state = $4, begun_at = coalesce(begun_at, $5)
		FROM job j WHERE j.id = f.job AND j.revision = f.revision AND f.ended_at IS NULL
			AND f.job = $1 AND f.revision = $2 AND f.as_of_day = $3::text::date
		RETURNING f.round + 1`,
		string(of.Job), of.Revision, of.AsOf.String(), string(SearchRunning), s.now().UTC()).Scan(&round)
	if errors.Is(err, pgx.ErrNoRows) {
		return 0, errors.Join(errOvertaken, s.endSearch(ctx, of, SearchOvertaken))
	}
	return round, explain(err)
}

// endRound notes what a round has brought. The last one ends the search, and so does
// a proof.
func (s *Store) endRound(ctx context.Context, of PlanOf, best PlanHead) (done bool, err error) {
	err = s.pool.QueryRow(ctx, `
		UPDATE search SET round = round + 1, finish = $4, proven = $5,
			state = CASE WHEN $5 OR round + 1 >= rounds THEN $6 ELSE state END,
			ended_at = CASE WHEN $5 OR round + 1 >= rounds THEN $7::timestamptz END
		WHERE job = $1 AND revision = $2 AND as_of_day = $3::text::date AND ended_at IS NULL
		RETURNING ended_at IS NOT NULL`,
		string(of.Job), of.Revision, of.AsOf.String(), best.Finish.UTC(), best.Proven, string(SearchDone), s.now().UTC()).Scan(&done)
	if errors.Is(err, pgx.ErrNoRows) {
		return true, nil // ended meanwhile
	}
	return done, explain(err)
}

// endSearch ends a search that has not ended. It does so even when ctx has ended.
func (s *Store) endSearch(ctx context.Context, of PlanOf, state SearchState) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), claimLimit)
	defer cancel()
	_, err := s.pool.Exec(ctx, `
		UPDATE search SET state = $4, ended_at = $5
		WHERE job = $1 AND revision = $2 AND as_of_day = $3::text::date AND ended_at IS NULL`,
		string(of.Job), of.Revision, of.AsOf.String(), string(state), s.now().UTC())
	return explain(err)
}
