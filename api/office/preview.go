package office

import (
	"context"
	"fmt"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/rules"
)

// Preview is what a change would come to, without it being kept: the sheet as it
// stands, and what it would be. The change is made to a copy of the sheet's job, and
// planned near the plan that people know, as it would be if it were kept.
//
// Errors are those of Sheet and of the change; scheduler.Faults where the changed job
// is unsound. After an error of the change the sheet as it stands is given all the same.
func (o *Office) Preview(ctx context.Context, id scheduler.ID, change func(*scheduler.Job) error) (now, then *Sheet, err error) {
	if now, err = o.Sheet(ctx, id, nil); err != nil {
		return nil, nil, err
	}
	job := now.Job.Copy()
	if err := change(job); err != nil {
		return now, nil, err
	}
	then, err = o.changed(ctx, now, job)
	return now, then, err
}

// changed plans a changed copy of a sheet's job.
func (o *Office) changed(ctx context.Context, now *Sheet, job *scheduler.Job) (*Sheet, error) {
	if faults := rules.Check(job); len(faults) > 0 {
		return nil, faults
	}
	network, err := expand.Expand(job)
	if err != nil {
		return nil, err
	}
	day, err := o.AsOf(job)
	if err != nil {
		return nil, err
	}
	s := &shelf{job: job, network: network, revision: now.Revision + 1, before: o.remembered(job.ID)}
	of := db.PlanOf{Job: job.ID, Revision: s.revision, AsOf: day}
	leave, err := o.slots.enter(ctx, o.isQuick(s, of))
	if err != nil {
		return nil, err
	}
	defer leave()
	ctx, cancel := context.WithTimeout(ctx, planLimit)
	defer cancel()
	plan, _, err := o.planSafely(ctx, s, of)
	if err != nil {
		return nil, fmt.Errorf("plan a change of job %s: %w", job.ID, err)
	}
	return s.sheet(of, plan, 0), nil
}

// remembered is what is remembered of the plan that people know.
func (o *Office) remembered(id scheduler.ID) memory {
	o.mu.Lock()
	defer o.mu.Unlock()
	if s := o.shelves.by[id]; s != nil {
		return s.before
	}
	return memory{}
}
