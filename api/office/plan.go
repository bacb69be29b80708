package office

import (
	"context"

	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

// remembered is what the plan of a revision, as of the day from which its job is
// planned anyway, leaves for the next.
type remembered struct {
	revision int64
	memory   *planner.Memory
}

// planNear plans a revision near the plan before it: a change of the job moves no more
// than it must. Plans as of other days than the job's own are made from nothing.
func (o *Office) planNear(ctx context.Context, s *shelf, day worktime.Date) (*scheduler.Plan, error) {
	if o.plan != nil {
		return o.planAnew(ctx, s.job, day)
	}
	var before *planner.Memory
	usual := o.usual(s.job, day)
	if usual {
		before = o.before(s)
	}
	plan, memory, err := planner.Replan(ctx, s.job, before, planner.Options{AsOf: &day})
	if err == nil && usual {
		o.remember(s, memory)
	}
	return plan, err
}

// planAnew plans a job from nothing.
func (o *Office) planAnew(ctx context.Context, job *scheduler.Job, day worktime.Date) (*scheduler.Plan, error) {
	if o.plan != nil {
		return o.plan(ctx, job, day)
	}
	return planner.Plan(ctx, job, planner.Options{AsOf: &day})
}

// recall takes a plan that was stored for the one that the next is to be near.
func (o *Office) recall(s *shelf, day worktime.Date, plan *scheduler.Plan) {
	if !o.usual(s.job, day) {
		return
	}
	memory, err := planner.Remember(s.job, plan)
	if err != nil {
		o.log.Error().Err(err).Str("job", string(s.job.ID)).Msg("the stored plan is not of this job: the next one is made from nothing")
		return
	}
	o.remember(s, memory)
}

// usual says whether a day is the one from which a job is planned anyway.
func (o *Office) usual(job *scheduler.Job, day worktime.Date) bool {
	own, err := o.AsOf(job)
	return err == nil && own == day
}

// before is what the last plan of a job left, nil where there was none.
func (o *Office) before(s *shelf) *planner.Memory {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.last[s.job.ID].memory
}

func (o *Office) remember(s *shelf, memory *planner.Memory) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.last[s.job.ID].revision <= s.revision {
		o.last[s.job.ID] = remembered{s.revision, memory}
	}
}
