package office

import (
	"context"
	"errors"
	"fmt"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
)

// tries is how often what follows from a plan is tried again when the job has changed
// while the plan was made.
const tries = 5

// Issue sends out the plan of the job as it stands, and returns its letter and the
// revision. With an edit made from a revision, that must still be the current one;
// else whatever is current is sent out. Errors are db.Store.Issue's and Sheet's.
func (o *Office) Issue(ctx context.Context, id scheduler.ID, e db.Edit, i scheduler.Issue) (letter string, revision int64, err error) {
	err = o.onTheSheet(ctx, id, e, func(s *Sheet, e db.Edit) (err error) {
		given := i
		if given.On == 0 {
			given.On = s.AsOf
		}
		letter, revision, err = o.store.Issue(ctx, id, e, s.Plan, given)
		return err
	})
	if err != nil {
		return "", 0, err
	}
	o.follow(ctx, id, revision)
	return letter, revision, nil
}

// onTheSheet does something that follows from the current plan of a job, in a change
// that is refused when the job has another revision by then; unless the edit itself
// insists on a revision, it is done anew with the new plan.
func (o *Office) onTheSheet(ctx context.Context, id scheduler.ID, e db.Edit, do func(*Sheet, db.Edit) error) error {
	insists := e.At != 0
	for try := 1; ; try++ {
		sheet, err := o.Sheet(ctx, id, nil)
		if err != nil {
			return err
		}
		if !insists {
			e.At = sheet.Revision
		}
		err = do(sheet, e)
		if insists || try == tries || !errors.Is(err, db.ErrStale) {
			return err
		}
	}
}

// IssuedPlan is the plan that was sent out under a letter, empty for the last one.
// It never changes. Do not change it: it is shared.
func (o *Office) IssuedPlan(ctx context.Context, id scheduler.ID, letter string) (*db.IssuedPlan, error) {
	job, _, err := o.Job(ctx, id)
	if err != nil {
		return nil, err
	}
	if letter == "" {
		last := job.LastIssue()
		if last == nil {
			return nil, notIssued(ErrNoIssue)
		}
		letter = last.Letter
	}
	o.mu.Lock()
	kept := o.issued[id]
	o.mu.Unlock()
	if kept != nil && kept.Letter == letter {
		return kept, nil
	}
	plan, err := o.store.IssuedPlan(ctx, id, letter)
	if errors.Is(err, scheduler.ErrNotFound) && job.FindIssue(letter) != nil {
		return nil, notIssued(ErrPlanElsewhere)
	}
	if err != nil {
		return nil, err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.issued[id] = plan
	return plan, nil
}

// Why there is no issued plan to be had; both are scheduler.ErrNotFound.
var (
	ErrNoIssue       = errors.New("no plan of the job has been issued")
	ErrPlanElsewhere = errors.New("the issue came with a job file, which does not hold its plan")
)

func notIssued(why error) error { return fmt.Errorf("%w: %w", why, scheduler.ErrNotFound) }

// Moved holds the plan of the job as it stands against the one that was sent out
// under a letter, empty for the last one.
func (o *Office) Moved(ctx context.Context, id scheduler.ID, since string) (*Sheet, *db.IssuedPlan, *compare.Comparison, error) {
	sheet, err := o.Sheet(ctx, id, nil)
	if err != nil {
		return nil, nil, nil, err
	}
	issued, err := o.IssuedPlan(ctx, id, since)
	if err != nil {
		return nil, nil, nil, err
	}
	return sheet, issued, compare.Plans(issued.Plan, sheet.Plan, sheet.Job), nil
}
