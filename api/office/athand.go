package office

import (
	"context"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// AtHand is Sheet for who would rather read what is there than wait: while the newest
// revision of a job is being planned for the first time it gives the sheet of the last one
// that was, where that is in memory. Which it is, the sheet says; newest is the revision
// that the job is at.
//
// As soon as a plan of the newest revision is kept, here or elsewhere, that is what it
// gives. So whoever made a change and was told so together with its plan (Change) finds it.
func (o *Office) AtHand(ctx context.Context, id scheduler.ID, asOf *worktime.Date) (sheet *Sheet, newest int64, err error) {
	sheet, newest, err = o.olderSheet(ctx, id, asOf)
	if sheet != nil || err != nil {
		return sheet, newest, err
	}
	sheet, err = o.Sheet(ctx, id, asOf)
	if err != nil {
		return nil, 0, err
	}
	return sheet, max(newest, sheet.Revision), nil
}

// olderSheet is the last sheet of a job whose newest revision has no plan yet, and that
// revision; nil where there is none, or no need of it. It sees to it that the plan is made.
func (o *Office) olderSheet(ctx context.Context, id scheduler.ID, asOf *worktime.Date) (*Sheet, int64, error) {
	o.mu.Lock()
	s := o.shelves.take(id)
	o.mu.Unlock()
	if s == nil {
		return nil, 0, nil
	}
	day, err := o.AsOfOr(s.job, asOf)
	if err != nil {
		return nil, 0, nil // Sheet says so, of the newest revision
	}
	revision, take, err := o.standing(ctx, id, day)
	if err != nil || take > 0 {
		return nil, 0, err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	older := s.older
	if s.revision < revision {
		older = s.newest(day)
	}
	if older == nil || s.revision > revision || s.revision == revision && s.sheets[day] != nil || older.AsOf != day {
		return nil, 0, nil
	}
	if o.ahead[id] == nil && o.last[id] == nil {
		o.runAhead(ctx, id)
	}
	return older, revision, nil
}
