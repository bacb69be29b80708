package office

import (
	"context"
	"errors"
	"fmt"
	"io"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/planfile"
	"gaugerod/scheduler/worktime"
)

// Sheet is one job as it stands, with its plan as of a day. It is shared by all
// who ask for it: nobody changes it.
type Sheet struct {
	Job      *scheduler.Job
	Network  *scheduler.Network
	Plan     *scheduler.Plan
	Revision int64
	AsOf     worktime.Date
	Take     int // 1 for the first plan of this revision and day, more for better ones found later
	Beside   Beside

	packed *db.PackedPlan // nil: it was made elsewhere
}

// WritePlan writes the plan as JSON, as planfile does: from what was written when it
// was made, where it was made here.
func (s *Sheet) WritePlan(w io.Writer) error {
	if s.packed == nil {
		return planfile.Stream(w, s.Plan)
	}
	_, err := s.packed.WriteTo(w)
	return err
}

// Sheet is the current revision of a job and its plan. Without an as-of day, the
// job's own counts, else today in the job's zone. The plan is made once however
// many ask for it at the same time, here or elsewhere; ctx ends the asking, not the
// planning. Whoever waits for the plan of a revision that is overtaken meanwhile
// gets that of the newest.
//
// What it returns is never older than what anybody was told was kept before it was
// asked: each time it asks the database which revision is the newest. Where ctx knows
// how the job stood (Knowing), that is so of what was kept before ctx came to know it.
//
// Errors: scheduler.ErrNotFound; a scheduler.Refusal of a day too far away; scheduler.Faults where the job is unsound; those
// of the planner and of the store.
func (o *Office) Sheet(ctx context.Context, id scheduler.ID, asOf *worktime.Date) (*Sheet, error) {
	for {
		s, take, err := o.shelf(ctx, id, asOf)
		if err != nil {
			return nil, err
		}
		day, err := o.AsOfOr(s.job, asOf)
		if err != nil {
			return nil, err
		}
		sheet, err := o.sheet(ctx, s, day, take)
		if !errors.Is(err, errOvertaken) {
			return sheet, err
		}
		ctx = askingAnew(ctx) //nolint:fatcontext // once for each plan that was overtaken meanwhile
	}
}

// Take says what Sheet would give, without planning: the revision, the day, and the
// take of the plan that is kept, 0 where there is none or it is not known.
func (o *Office) Take(ctx context.Context, id scheduler.ID, asOf *worktime.Date) (revision int64, day worktime.Date, take int, err error) {
	s, take, err := o.shelf(ctx, id, asOf)
	if err != nil {
		return 0, 0, 0, err
	}
	day, err = o.AsOfOr(s.job, asOf)
	return s.revision, day, take, err
}

// sheet is the sheet on a shelf, or that of a planning that is under way or begins.
func (o *Office) sheet(ctx context.Context, s *shelf, day worktime.Date, take int) (*Sheet, error) {
	o.mu.Lock()
	if sheet := s.sheets[day]; sheet != nil && sheet.Take >= take {
		o.mu.Unlock()
		return sheet, nil
	}
	f, err := o.fly(ctx, s, day)
	o.mu.Unlock()
	if err != nil {
		return nil, err
	}
	select {
	case <-f.done:
		return f.sheet, f.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// shelf is the current revision of a job, from memory where nothing has changed, and
// the take of the plan that is kept of it as of the day, as far as that is known.
func (o *Office) shelf(ctx context.Context, id scheduler.ID, asOf *worktime.Date) (*shelf, int, error) {
	o.asked.Add(1)
	o.mu.Lock()
	s := o.shelves.take(id)
	o.mu.Unlock()
	var day worktime.Date
	if s != nil {
		day, _ = o.AsOfOr(s.job, asOf) // a day that cannot be is refused later
	}
	if take, ok := s.known(ctx, day); ok {
		return s, take, nil
	}
	revision, take, err := o.store.Standing(ctx, id, day)
	if err != nil {
		return nil, 0, err
	}
	if s != nil && s.revision == revision {
		return s, take, nil
	}
	s, err = o.load(ctx, id, revision)
	return s, 0, err
}

// load reads a job that was found at a revision. Many who find it there read it once.
func (o *Office) load(ctx context.Context, id scheduler.ID, found int64) (*shelf, error) {
	answer := o.loads.DoChan(fmt.Sprint(id, " ", found), func() (any, error) {
		job, revision, err := o.store.Job(context.WithoutCancel(ctx), id)
		if err != nil {
			return nil, err
		}
		network, err := expand.Expand(job)
		if err != nil {
			return nil, fmt.Errorf("expand job %s: %w", id, err)
		}
		o.tell(db.Word{Job: id, Revision: revision, Kind: db.RevisionWord})
		usual, _ := o.AsOf(job) // a zone that nobody knows is refused when it is planned
		o.mu.Lock()
		defer o.mu.Unlock()
		return o.shelves.put(&shelf{job: job, network: network, revision: revision, usual: usual, sheets: map[worktime.Date]*Sheet{}}), nil
	})
	select {
	case r := <-answer:
		if r.Err != nil {
			return nil, r.Err
		}
		return r.Val.(*shelf), nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// AsOf is the day from which a job is planned when nobody names one.
func (o *Office) AsOf(job *scheduler.Job) (worktime.Date, error) { return o.AsOfOr(job, nil) }

// AsOfOr is the day asked for, else the one from which the job is planned anyway.
func (o *Office) AsOfOr(job *scheduler.Job, asked *worktime.Date) (worktime.Date, error) {
	switch {
	case asked != nil:
		return *asked, job.PlanFrom(*asked)
	case job.AsOf != nil:
		return *job.AsOf, nil
	}
	zone, err := o.zones.of(job)
	if err != nil {
		return 0, err
	}
	return worktime.FromTime(o.now()).Date(zone), nil
}

// Now is the moment at which something is recorded of a job when nobody says
// another: the clock's minute in the job's zone, or the as-of day alone where the
// job stands still on one.
func (o *Office) Now(job *scheduler.Job) (worktime.When, error) {
	if job.AsOf != nil {
		return worktime.When{Day: *job.AsOf}, nil
	}
	day, err := o.AsOf(job)
	if err != nil {
		return worktime.When{}, err
	}
	zone, err := o.zones.of(job)
	if err != nil {
		return worktime.When{}, err
	}
	now := o.now().In(zone)
	clock := worktime.Clock(now.Hour()*60 + now.Minute())
	return worktime.When{Day: day, Time: &clock}, nil
}
