package office

import (
	"context"
	"errors"
	"fmt"
	"time"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/planner"
)

// A long search has rounds, each from nothing with several times the effort of the one
// before: the first with four times that of a quick plan.
const (
	searchRounds = 3
	searchFactor = 4
)

// courtesy is how many times as long as it has worked a search rests at its next breath
// when anything has been asked of the office since the last: requests come first.
const courtesy = 15

// longestRest keeps a search going where it has few breaths.
const longestRest = time.Second

// Work does heavy work, whichever instance it waits for, until ctx ends: long searches
// for better plans, and comparisons.
func (o *Office) Work(ctx context.Context) error {
	heavy := o.heavy
	heavy.Search, heavy.Compare = o.search, o.compare
	if heavy.Rounds == 0 {
		heavy.Rounds = searchRounds
	}
	return o.store.Work(ctx, heavy, o.log)
}

// search does one round of a long search for a better plan. What it finds takes the
// place of the plan that is kept, if it is better than that, and is told.
func (o *Office) search(ctx context.Context, of db.PlanOf, round int) (db.PlanHead, error) {
	s, _, err := o.shelf(ctx, of.Job, &of.AsOf)
	if err != nil {
		return db.PlanHead{}, err
	}
	ctx, done, err := o.searching(ctx, s, of)
	if err != nil {
		return db.PlanHead{}, err
	}
	defer done()
	found, left, err := o.searchAnew(ctx, s, of, round)
	if errors.Is(context.Cause(ctx), errOvertaken) {
		err = fmt.Errorf("%w: %w", errOvertaken, db.ErrStale)
	}
	if err != nil {
		return db.PlanHead{}, err
	}
	return o.offer(ctx, s, of, found, left)
}

// searching notes that a search runs, so that a newer revision ends it.
func (o *Office) searching(ctx context.Context, s *shelf, of db.PlanOf) (_ context.Context, done func(), err error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if s.revision != of.Revision || o.known[of.Job] > of.Revision {
		return nil, nil, fmt.Errorf("%w: %w", errOvertaken, db.ErrStale)
	}
	if !o.begin() {
		return nil, nil, ErrClosed
	}
	ctx, cancel := context.WithCancelCause(ctx)
	stop := context.AfterFunc(o.ctx, func() { cancel(ErrClosed) })
	o.searches[of] = cancel
	return ctx, func() {
		defer o.running.Done()
		stop()
		cancel(nil)
		o.mu.Lock()
		defer o.mu.Unlock()
		delete(o.searches, of)
	}, nil
}

// searchAnew plans a job from nothing with the effort of a round.
func (o *Office) searchAnew(ctx context.Context, s *shelf, of db.PlanOf, round int) (plan *scheduler.Plan, left *planner.Memory, err error) {
	times := 1
	for range round {
		times *= searchFactor
	}
	effort := levelling.DefaultEffort(len(s.network.Steps))
	effort.Schedules *= times
	effort.LateEnds *= int64(times)
	effort.DeadEnds *= int64(times)
	effort.VisitEnds *= int64(times)
	effort.Stop = o.courteous(ctx)
	begun := o.now()
	plan, err = o.safe(s.job, func() (plan *scheduler.Plan, err error) {
		if o.plan != nil {
			return o.plan(ctx, s.job, of.AsOf)
		}
		plan, left, err = planner.Replan(ctx, s.job, nil, planner.Options{AsOf: &of.AsOf, Network: s.network, Effort: &effort})
		return plan, err
	})
	if err == nil {
		o.log.Info().Str("job", string(of.Job)).Int64("revision", of.Revision).Stringer("as_of", of.AsOf).
			Int("round", round).Dur("took_ms", o.now().Sub(begun)).Msg("searched")
	}
	return plan, left, err
}

// courteous has a search rest whenever somebody has asked for something.
func (o *Office) courteous(ctx context.Context) func() bool {
	seen, since := o.asked.Load(), o.now()
	return func() bool {
		if asked := o.asked.Load(); asked != seen {
			seen = asked
			select {
			case <-time.After(min(courtesy*o.now().Sub(since), longestRest)):
			case <-ctx.Done():
			}
		}
		since = o.now()
		return ctx.Err() != nil
	}
}

// offer puts a plan that was found in the place of the kept one if it is better, or
// what was proven beside it.
func (o *Office) offer(ctx context.Context, s *shelf, of db.PlanOf, found *scheduler.Plan, left *planner.Memory) (db.PlanHead, error) {
	for {
		was, head, err := o.store.LoadPlan(ctx, of)
		if err != nil {
			return head, err
		}
		plan, better := planner.Better(was, found)
		if !better {
			return head, nil
		}
		if plan != found {
			left = planner.Recall(plan)
		}
		after, kept, err := o.store.BetterPlan(ctx, of, db.Pack(plan), head.Take)
		if err != nil {
			return head, err
		}
		if !kept {
			continue // another one has taken its place meanwhile
		}
		o.remember(s, of, after.Take, left)
		o.mu.Lock()
		s.keep(s.sheet(of, plan, after.Take))
		o.mu.Unlock()
		o.tell(db.Word{Job: of.Job, Revision: of.Revision, Kind: db.PlanWord, Plan: &after})
		o.log.Info().Str("job", string(of.Job)).Int64("revision", of.Revision).Int("take", after.Take).
			Bool("proven", after.Proven).Msg("a better plan has been found")
		return after, nil
	}
}
