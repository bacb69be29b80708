package office

import (
	"context"
	"errors"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

// mendFrom is the number of steps from which a change is answered with the plan before
// mended and no more: the whole search follows as heavy work. It takes a few milliseconds
// for a job of fewer steps, for some of 50 a tenth of a second and of 70 a third.
const mendFrom = 40

// planNear plans a revision near the plan before it: a change of the job moves no more
// than it must. Plans as of other days than the job's own are made from nothing.
func (o *Office) planNear(ctx context.Context, s *shelf, of db.PlanOf) (*scheduler.Plan, *planner.Memory, error) {
	if o.plan != nil {
		plan, err := o.planAnew(ctx, s.job, of.AsOf)
		return plan, nil, err
	}
	var before *planner.Memory
	if o.usual(s.job, of.AsOf) {
		before = o.before(ctx, s, of)
	}
	return planner.Replan(ctx, s.job, before, planner.Options{
		AsOf: &of.AsOf, Network: s.network, Mend: len(s.network.Steps) >= mendFrom,
	})
}

// planAnew plans a job from nothing.
func (o *Office) planAnew(ctx context.Context, job *scheduler.Job, day worktime.Date) (*scheduler.Plan, error) {
	if o.plan != nil {
		return o.plan(ctx, job, day)
	}
	return planner.Plan(ctx, job, planner.Options{AsOf: &day})
}

// before is what the plan that people know leaves for the next: from memory where it
// was made or read here, else from the stored plan of the newest earlier revision,
// which another instance may have made. Nil where there is none.
func (o *Office) before(ctx context.Context, s *shelf, of db.PlanOf) *planner.Memory {
	o.mu.Lock()
	was := s.before
	o.mu.Unlock()
	if was.left != nil && was.of.Revision >= of.Revision-1 {
		return was.left
	}
	known := int64(0)
	if was.left != nil {
		known = was.of.Revision
	}
	plan, err := o.store.PlanBefore(ctx, of, known)
	switch {
	case err == nil && plan.Engine == planner.Engine:
		return planner.Recall(plan)
	case err != nil && !errors.Is(err, scheduler.ErrNotFound) && ctx.Err() == nil:
		o.log.Error().Err(err).Str("job", string(of.Job)).Msg("the plan before could not be read")
	}
	return was.left
}

// recall takes a plan that was stored for the one that the next is to be near.
func (o *Office) recall(s *shelf, of db.PlanOf, plan *scheduler.Plan, take int) {
	if o.plan == nil {
		o.remember(s, of, take, planner.Recall(plan))
	}
}

// remember keeps what a usual plan leaves, unless as much is known of that plan or a
// newer one: what is remembered where it was made is more than the plan tells.
func (o *Office) remember(s *shelf, of db.PlanOf, take int, left *planner.Memory) {
	if left == nil || !o.usual(s.job, of.AsOf) {
		return
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, at := range []*shelf{s, o.shelves.by[of.Job]} { // the shelf of a newer revision may be there already
		if at == nil || at.before.left != nil && (at.before.of.Revision > of.Revision || at.before.of == of && at.before.take >= take) {
			continue
		}
		at.before = memory{of, take, left}
	}
}

// forget drops what is remembered of a plan when a better one has taken its place
// elsewhere. It is called with mu held.
func (o *Office) forget(of db.PlanOf, take int) {
	if s := o.shelves.by[of.Job]; s != nil && s.before.of == of && s.before.take < take {
		s.before = memory{}
	}
}

// usual says whether a day is the one from which a job is planned anyway.
func (o *Office) usual(job *scheduler.Job, day worktime.Date) bool {
	own, err := o.AsOf(job)
	return err == nil && own == day
}
