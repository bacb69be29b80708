package office

import (
	"context"
	"encoding/json"
	"fmt"
	"strconv"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/worktime"
)

// Comparing says which two plans of a job are compared: that of a revision, with that
// of an earlier one or with an issued plan. Where plans must be made for it, they are
// made as of a day; nil: the job's own.
type Comparing struct {
	Job      scheduler.ID
	Revision int64
	Against  string // a revision by its number, or a letter
	AsOf     *worktime.Date
}

// AskForComparison has two plans compared as heavy work, once, and says how far that
// has come and as of which day.
func (o *Office) AskForComparison(ctx context.Context, c Comparing) (db.Comparison, worktime.Date, error) {
	return o.comparison(ctx, c, o.store.AskForComparison)
}

// Comparison says how far one that was asked for has come; scheduler.ErrNotFound when
// nobody has asked for it.
func (o *Office) Comparison(ctx context.Context, c Comparing) (db.Comparison, worktime.Date, error) {
	return o.comparison(ctx, c, o.store.Comparison)
}

func (o *Office) comparison(ctx context.Context, c Comparing, ask func(context.Context, db.ComparisonOf) (db.Comparison, error)) (is db.Comparison, day worktime.Date, err error) {
	job, newest, err := o.Job(ctx, c.Job)
	if err != nil {
		return is, 0, err
	}
	if day, err = o.AsOfOr(job, c.AsOf); err != nil {
		return is, 0, err
	}
	earlier, err := strconv.ParseInt(c.Against, 10, 64)
	switch {
	case c.Revision > newest:
		return is, 0, fmt.Errorf("revision %d: %w", c.Revision, scheduler.ErrNotFound)
	case err == nil && earlier >= c.Revision:
		return is, 0, &scheduler.Refusal{Kind: scheduler.ErrImpossible, Field: "against", What: "a revision is compared with an earlier one"}
	case err != nil && job.FindIssue(c.Against) == nil:
		return is, 0, fmt.Errorf("issue %s: %w", c.Against, scheduler.ErrNotFound)
	}
	is, err = ask(ctx, db.ComparisonOf{Job: c.Job, Revision: c.Revision, Against: c.Against, AsOf: day})
	return is, day, err
}

// compare makes a comparison.
func (o *Office) compare(ctx context.Context, c db.ComparisonOf) ([]byte, error) {
	job, is, err := o.planOf(ctx, c, c.Revision)
	if err != nil {
		return nil, err
	}
	was, err := o.earlier(ctx, c)
	if err != nil {
		return nil, err
	}
	return json.Marshal(compare.Plans(was, is, job))
}

// earlier is the plan that is compared with: an issued one, or that of a revision.
func (o *Office) earlier(ctx context.Context, c db.ComparisonOf) (*scheduler.Plan, error) {
	revision, err := strconv.ParseInt(c.Against, 10, 64)
	if err != nil {
		issued, err := o.store.IssuedPlan(ctx, c.Job, c.Against)
		if err != nil {
			return nil, err
		}
		return issued.Plan, nil
	}
	_, plan, err := o.planOf(ctx, c, revision)
	return plan, err
}

// planOf is a job as it was at a revision, with its plan: the kept one, or one made
// from nothing, which is kept nowhere.
func (o *Office) planOf(ctx context.Context, c db.ComparisonOf, revision int64) (*scheduler.Job, *scheduler.Plan, error) {
	job, err := o.store.JobAt(ctx, c.Job, revision)
	if err != nil {
		return nil, nil, err
	}
	plan, _, err := o.store.LoadPlan(ctx, db.PlanOf{Job: c.Job, Revision: revision, AsOf: c.AsOf})
	if err == nil {
		return job, plan, nil
	}
	plan, err = o.safe(job, func() (*scheduler.Plan, error) { return o.planAnew(ctx, job, c.AsOf) })
	return job, plan, err
}
