package office

import (
	"context"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type knownKey struct{}

// Knowing is ctx of a request that changes nothing, with how its job stood after the
// request had begun. What Sheet, Job and Take find in memory at that revision they give
// out without asking again: it is no older than anything that was told before the
// request. What is known counts for nothing else: where memory holds another revision,
// or none, the database is asked.
//
// It is not for a request that changes the job and then reads it, nor for one whose
// answer goes on: they have to see what came later.
func Knowing(ctx context.Context, stand *db.Stand) context.Context {
	return context.WithValue(ctx, knownKey{}, stand)
}

// askingAnew is ctx in which nothing is known any more.
func askingAnew(ctx context.Context) context.Context {
	if known, _ := ctx.Value(knownKey{}).(*db.Stand); known == nil {
		return ctx
	}
	return Knowing(ctx, nil)
}

// standIn is how a job stood as far as ctx knows, nil where it does not.
func standIn(ctx context.Context, id scheduler.ID) *db.Stand {
	if stand, _ := ctx.Value(knownKey{}).(*db.Stand); stand != nil && stand.Job == id {
		return stand
	}
	return nil
}

// known is the take of a job's plan as of a day, where ctx knows that the shelf is the
// newest revision.
func (s *shelf) known(ctx context.Context, day worktime.Date) (take int, ok bool) {
	if s == nil {
		return 0, false
	}
	stand := standIn(ctx, s.job.ID)
	if stand == nil || stand.Revision != s.revision {
		return 0, false
	}
	return stand.Take(day), true
}

// standing is the newest revision of a job and the take of its plan as of a day, 0 where
// none is kept: from ctx where it is known there, else from the database.
func (o *Office) standing(ctx context.Context, id scheduler.ID, day worktime.Date) (revision int64, take int, err error) {
	o.asked.Add(1)
	if stand := standIn(ctx, id); stand != nil && stand.Revision > 0 {
		return stand.Revision, stand.Take(day), nil
	}
	return o.store.Standing(ctx, id, day)
}
