package office

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"time"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

// errOvertaken ends a planning of a revision that is no longer the newest.
var errOvertaken = errors.New("a newer revision has come")

// mostCuts is how many plannings of a job are broken off one after the other. More,
// and a job that changes all the time would never get a plan.
const mostCuts = 1

// claimPause is how long a planning that another instance has claimed is waited for
// without word of it, before it is asked whether that instance still has it.
const claimPause = 200 * time.Millisecond

// flight is a plan on its way, from the database or from the planner. Those of one job
// come one after the other.
type flight struct {
	of     db.PlanOf
	before *flight // of the same job, nil: none
	done   chan struct{}
	cancel context.CancelCauseFunc
	word   chan struct{} // gets one when the plan has been kept, here or elsewhere

	sheet *Sheet // when done
	err   error
}

// fly joins the flight of a plan or begins it. It is called with mu held.
func (o *Office) fly(ctx context.Context, s *shelf, day worktime.Date) (*flight, error) {
	of := db.PlanOf{Job: s.job.ID, Revision: s.revision, AsOf: day}
	if f := o.flights[of]; f != nil {
		return f, nil
	}
	if !o.begin() {
		return nil, ErrClosed
	}
	ctx, cancel := context.WithCancelCause(o.within(ctx))
	f := &flight{of: of, before: o.last[of.Job], done: make(chan struct{}), cancel: cancel, word: make(chan struct{}, 1)}
	o.flights[of], o.last[of.Job] = f, f
	go func() {
		defer o.running.Done()
		defer cancel(nil)
		sheet, err := o.make(ctx, s, f)
		if err != nil && errors.Is(context.Cause(ctx), errOvertaken) {
			err = errOvertaken
		}
		o.land(s, f, sheet, err)
	}()
	return f, nil
}

// land gives those who wait what the flight has brought.
func (o *Office) land(s *shelf, f *flight, sheet *Sheet, err error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	f.sheet, f.err, f.before = sheet, err, nil
	delete(o.flights, f.of)
	if o.last[f.of.Job] == f {
		delete(o.last, f.of.Job)
	}
	if !errors.Is(err, errOvertaken) {
		s.older = nil // from now on there is the plan, or what went wrong
	}
	if err == nil {
		delete(o.cut, f.of.Job)
		s.keep(sheet)
		o.shelves.clear(s)
	}
	close(f.done)
}

// overtake breaks off the plannings and searches of older revisions of a job. It is
// called with mu held.
func (o *Office) overtake(id scheduler.ID, revision int64) {
	cut := false
	for of, f := range o.flights {
		if of.Job == id && of.Revision < revision && o.cut[id] < mostCuts {
			f.cancel(errOvertaken)
			cut = true
		}
	}
	if cut {
		o.cut[id]++
	}
	for of, cancel := range o.searches {
		if of.Job == id && of.Revision < revision {
			cancel(errOvertaken)
		}
	}
}

// make waits for the turn of a flight and brings its plan: the kept one, or one that
// is made here or, when somebody else is at it already, elsewhere.
func (o *Office) make(ctx context.Context, s *shelf, f *flight) (*Sheet, error) {
	if f.before != nil {
		if sheet := o.kept(ctx, s, f.of); sheet != nil {
			return sheet, nil
		}
		select {
		case <-f.before.done:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
		if o.newest(f.of.Job) > f.of.Revision {
			return nil, errOvertaken
		}
	}
	ctx, cancel := context.WithTimeout(ctx, planLimit)
	defer cancel()
	for look := !o.isQuick(s, f.of); ; look = true { // who makes it looks once more in any case
		if look {
			if sheet := o.kept(ctx, s, f.of); sheet != nil {
				return sheet, nil
			}
		}
		if sheet, mine, err := o.makeHere(ctx, s, f.of); mine || err != nil {
			return sheet, err
		}
		select {
		case <-f.word:
		case <-time.After(claimPause):
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// newest is the newest revision of a job that was heard of.
func (o *Office) newest(id scheduler.ID) int64 {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.known[id]
}

// kept is the sheet with the plan that is kept in the database, nil where there is
// none that this solver made.
func (o *Office) kept(ctx context.Context, s *shelf, of db.PlanOf) *Sheet {
	plan, head, err := o.store.LoadPlan(ctx, of)
	switch {
	case err == nil && plan.Engine == planner.Engine:
		o.recall(s, of, plan, head.Take)
		return s.sheet(of, plan, head.Take)
	case err != nil && !errors.Is(err, scheduler.ErrNotFound) && ctx.Err() == nil:
		o.log.Error().Err(err).Str("job", string(of.Job)).Msg("the stored plan could not be read: planning again")
	}
	return nil
}

func (s *shelf) sheet(of db.PlanOf, plan *scheduler.Plan, take int) *Sheet {
	return &Sheet{Job: s.job, Network: s.network, Plan: plan, Revision: of.Revision, AsOf: of.AsOf, Take: take}
}

// makeHere makes a plan and keeps it, unless somebody else has claimed it: mine is
// false then.
func (o *Office) makeHere(ctx context.Context, s *shelf, of db.PlanOf) (sheet *Sheet, mine bool, err error) {
	quick := o.isQuick(s, of)
	if !quick {
		leave, err := o.slots.enter(ctx, quick)
		if err != nil {
			return nil, false, err
		}
		defer leave()
	}
	claim, err := o.store.Claim(ctx, of)
	switch {
	case err != nil:
		// Two may make it now; one of the two is kept.
		o.log.Error().Err(err).Str("job", string(of.Job)).Msg("planning without a claim")
	case !claim.Mine:
		return nil, false, nil
	default:
		defer claim.Release()
	}
	if claim.Kept {
		if sheet := o.kept(ctx, s, of); sheet != nil {
			return sheet, true, nil
		}
	}
	leave := func() {}
	if quick {
		if leave, err = o.slots.enter(ctx, quick); err != nil {
			return nil, true, err
		}
	}
	begun := o.now()
	plan, left, err := o.planSafely(ctx, s, of)
	leave()
	if err != nil {
		return nil, true, fmt.Errorf("plan job %s as of %s: %w", of.Job, of.AsOf, err)
	}
	took := o.now().Sub(begun)
	o.told(took, plan.Proven)
	o.log.Info().Str("job", string(of.Job)).Int64("revision", of.Revision).Stringer("as_of", of.AsOf).
		Dur("took_ms", took).Msg("planned")
	return o.keepNew(ctx, s, of, plan, left), true, nil
}

// keepLimit is how long a plan that was made may take to be kept.
const keepLimit = 10 * time.Second

// keepNew keeps a plan in the database and tells of it. Where one is kept already,
// that is the plan for everybody. A plan that has been made is kept even when nobody
// waits for it any more: the next one is to be near it.
func (o *Office) keepNew(ctx context.Context, s *shelf, of db.PlanOf, plan *scheduler.Plan, left *planner.Memory) *Sheet {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), keepLimit)
	defer cancel()
	packed := db.Pack(plan)
	head, first, err := o.store.SavePlan(ctx, of, packed, o.usual(s.job, of.AsOf))
	if err != nil {
		// The plan is as good without: it is made again after a restart.
		o.log.Error().Err(err).Str("job", string(of.Job)).Int64("revision", of.Revision).Msg("the plan could not be stored")
	}
	if err == nil && !first {
		if sheet := o.kept(ctx, s, of); sheet != nil {
			return sheet
		}
	}
	o.remember(s, of, head.Take, left)
	if first {
		o.tell(db.Word{Job: of.Job, Revision: of.Revision, Kind: db.PlanWord, Plan: &head})
	}
	sheet := s.sheet(of, plan, head.Take)
	sheet.packed = &packed
	return sheet
}

// planSafely is planNear that outlives a panic of the planner.
func (o *Office) planSafely(ctx context.Context, s *shelf, of db.PlanOf) (plan *scheduler.Plan, left *planner.Memory, err error) {
	ctx, end := planning(ctx, s)
	plan, err = o.safe(s.job, func() (plan *scheduler.Plan, err error) {
		plan, left, err = o.planNear(ctx, s, of)
		return plan, err
	})
	end(err)
	return plan, left, err
}

// safe turns a panic of the planner into an error: one bad job must not take the
// service down.
func (o *Office) safe(job *scheduler.Job, plan func() (*scheduler.Plan, error)) (made *scheduler.Plan, err error) {
	defer func() {
		if p := recover(); p != nil {
			o.log.Error().Str("job", string(job.ID)).Interface("panic", p).Bytes("stack", debug.Stack()).Msg("the planner broke down")
			made, err = nil, fmt.Errorf("the planner broke down: %v", p)
		}
	}()
	return plan()
}
