package office

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"strconv"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/planner"
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
}

// keptPlans is how many as-of days of one job are kept in memory.
const keptPlans = 8

// shelf is one revision of a job with the plans made of it so far.
type shelf struct {
	job      *scheduler.Job
	network  *scheduler.Network
	revision int64
	sheets   map[worktime.Date]*Sheet
	order    []worktime.Date // as they were put there, the oldest first
}

// Sheet is the current revision of a job and its plan. Without an as-of day, the
// job's own counts, else today in the job's zone. The plan is made once however
// many ask for it at the same time; ctx ends the asking, not the planning.
//
// Errors: scheduler.ErrNotFound; a scheduler.Refusal of a day too far away; scheduler.Faults where the job is unsound; those
// of the planner and of the store.
func (o *Office) Sheet(ctx context.Context, id scheduler.ID, asOf *worktime.Date) (*Sheet, error) {
	s, err := o.shelf(ctx, id)
	if err != nil {
		return nil, err
	}
	day, err := o.AsOfOr(s.job, asOf)
	if err != nil {
		return nil, err
	}
	return o.sheet(ctx, s, day)
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
	zone, err := time.LoadLocation(job.Zone)
	if err != nil {
		return 0, fmt.Errorf("time zone of job %s: %w", job.ID, err)
	}
	return worktime.FromTime(o.now()).Date(zone), nil
}

// shelf is the current revision of a job, from memory where nothing has changed.
func (o *Office) shelf(ctx context.Context, id scheduler.ID) (*shelf, error) {
	revision, err := o.revision(ctx, id)
	if err != nil {
		return nil, err
	}
	o.mu.Lock()
	s := o.shelves[id]
	o.mu.Unlock()
	if s != nil && s.revision == revision {
		return s, nil
	}
	job, revision, err := o.store.Job(ctx, id)
	if err != nil {
		return nil, err
	}
	network, err := expand.Expand(job)
	if err != nil {
		return nil, fmt.Errorf("expand job %s: %w", id, err)
	}
	s = &shelf{job: job, network: network, revision: revision, sheets: make(map[worktime.Date]*Sheet)}
	o.mu.Lock()
	defer o.mu.Unlock()
	switch kept := o.shelves[id]; {
	case kept == nil || kept.revision < revision:
		o.shelves[id] = s
	case kept.revision == revision:
		s = kept // somebody was quicker: share its plans
	}
	return s, nil
}

func (o *Office) revision(ctx context.Context, id scheduler.ID) (int64, error) {
	heads, err := o.store.Jobs(ctx)
	if err != nil {
		return 0, err
	}
	for _, h := range heads {
		if h.ID == id {
			return h.Revision, nil
		}
	}
	return 0, fmt.Errorf("job %s: %w", id, scheduler.ErrNotFound)
}

func (o *Office) sheet(ctx context.Context, s *shelf, day worktime.Date) (*Sheet, error) {
	o.mu.Lock()
	sheet := s.sheets[day]
	o.mu.Unlock()
	if sheet != nil {
		return sheet, nil
	}
	key := string(s.job.ID) + " " + strconv.FormatInt(s.revision, 10) + " " + day.String()
	if !o.begin() {
		return nil, ErrClosed
	}
	answer := o.flights.DoChan(key, func() (any, error) {
		sheet, err := o.make(s, day)
		if err != nil {
			return nil, err
		}
		o.keep(s, sheet)
		return sheet, nil
	})
	// Each asker gets its answer on a channel of its own; whoever leaves early
	// still has to be counted until the planning ends, for Close.
	select {
	case r := <-answer:
		o.running.Done()
		if r.Err != nil {
			return nil, r.Err
		}
		return r.Val.(*Sheet), nil
	case <-ctx.Done():
		go func() { <-answer; o.running.Done() }()
		return nil, ctx.Err()
	}
}

// make loads the plan, or makes and stores it.
func (o *Office) make(s *shelf, day worktime.Date) (*Sheet, error) {
	ctx, cancel := context.WithTimeout(o.ctx, planLimit)
	defer cancel()
	sheet := &Sheet{Job: s.job, Network: s.network, Revision: s.revision, AsOf: day}
	plan, err := o.store.LoadPlan(ctx, s.job.ID, s.revision, day)
	if err == nil && plan.Engine == planner.Engine {
		sheet.Plan = plan
		o.recall(s, day, plan)
		return sheet, nil
	}
	if err != nil && !errors.Is(err, scheduler.ErrNotFound) {
		o.log.Error().Err(err).Str("job", string(s.job.ID)).Msg("the stored plan could not be read: planning again")
	}
	begun := o.now()
	sheet.Plan, err = o.safe(s.job, func() (*scheduler.Plan, error) { return o.planNear(ctx, s, day) })
	if err != nil {
		return nil, fmt.Errorf("plan job %s as of %s: %w", s.job.ID, day, err)
	}
	took := o.now().Sub(begun)
	o.told(took, sheet.Plan.Proven)
	o.log.Info().Str("job", string(s.job.ID)).Int64("revision", s.revision).Stringer("as_of", day).
		Dur("took_ms", took).Msg("planned")
	if err := o.store.SavePlan(ctx, s.job.ID, s.revision, day, sheet.Plan); err != nil {
		// The plan is as good without: it is made again after a restart.
		o.log.Error().Err(err).Str("job", string(s.job.ID)).Int64("revision", s.revision).Msg("the plan could not be stored")
	}
	return sheet, nil
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

func (o *Office) keep(s *shelf, sheet *Sheet) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if _, ok := s.sheets[sheet.AsOf]; ok {
		return
	}
	if len(s.order) == keptPlans {
		delete(s.sheets, s.order[0])
		s.order = s.order[1:]
	}
	s.sheets[sheet.AsOf] = sheet
	s.order = append(s.order, sheet.AsOf)
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
	zone, err := time.LoadLocation(job.Zone)
	if err != nil {
		return worktime.When{}, err
	}
	now := o.now().In(zone)
	clock := worktime.Clock(now.Hour()*60 + now.Minute())
	return worktime.When{Day: day, Time: &clock}, nil
}
