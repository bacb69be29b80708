package planner

import (
	"context"
	"errors"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// NearCriticalDays is the float, in working days beyond the critical one, up to
// which a step counts as near-critical. Common practice, no source for the number.
const NearCriticalDays = 5

// Engine is the generation of the solver. It goes up whenever the same job may get
// another plan than before, so that stored plans are told apart from today's.
const Engine = 4

// Options are what a plan is made with besides the job.
type Options struct {
	AsOf   *worktime.Date    // nil: the job's own, else its start
	Effort *levelling.Effort // nil: what suits the size of the job

	// Network is the job as expand.Expand expands it; nil: that is done here.
	Network *scheduler.Network

	// Mend has Replan do no more than mend the plan before, where there is one: it does
	// not search as from nothing, however much the change has made possible, nor for a
	// proof, nor for the smallest set of statements where limits take part in a
	// contradiction. It is a sound plan soon, to be bettered without Mend.
	Mend bool
}

// effort is how much is spent on a job of so many steps.
func (o Options) effort(steps int, mendOnly bool) levelling.Effort {
	effort := levelling.DefaultEffort(steps)
	if o.Effort != nil {
		effort = *o.Effort
	}
	if mendOnly {
		effort.Schedules, effort.Raises = min(effort.Schedules, mendingSchedules), min(effort.Raises, mendingRaises)
		effort.LateEnds, effort.DeadEnds, effort.VisitEnds = 0, 0, 0
	}
	return effort
}

// AsOf is the day from which a job is planned with these options.
func (o Options) asOf(job *scheduler.Job) worktime.Date {
	switch {
	case o.AsOf != nil:
		return *o.AsOf
	case job.AsOf != nil:
		return *job.AsOf
	}
	return job.Start
}

// Plan plans a job that has passed rules.Check. It fails only on jobs that are
// unsound, on dates beyond any calendar and when the context is done; statements
// that contradict each other give a plan that names them.
func Plan(ctx context.Context, job *scheduler.Job, opt Options) (*scheduler.Plan, error) {
	plan, _, err := Replan(ctx, job, nil, opt)
	return plan, err
}

// solution is everything that is known of a network once it has been solved.
type solution struct {
	net       *scheduler.Network
	g         *network.Graph // waits alone
	h         *network.Graph // with the order that the plan fixes among those who share a limit
	problem   *levelling.Problem
	letIn     []levelling.Bar // steps that had to be let in against an occupation
	conflicts []conflict
	chain     []network.Arc // the arcs of h that the problem's graph has not
	was       *Memory       // of the planning before, nil: from nothing
	mended    bool          // no more than the plan before mended
	mendOnly  bool          // it is to be no more
	noEasier  bool          // no schedule has become possible since the plan before
	reach     int           // days that the calendars reach beyond those written in the job
	giveIn    bool          // due days that no dates can keep give in

	early, late network.Times
	finishBy    []worktime.Instant
	finish      worktime.Instant // the last earliest finish
	planned     network.Times
	stay        []worktime.Instant // where the plan before had the steps; nil: none
	orderBefore []network.Arc      // how it handed crews, places and gear on
	least       []worktime.Instant // where steps are kept as the plan before had them, or until their trade comes; nil: nowhere
	unkept      network.Times      // planned before they were kept there
	visits      joining
	unheld      network.Times // planned before deliveries were held back
	held        []bool        // by step: held back
	grounded    []bool        // by step: see ground
	telling     telling
	planLate    network.Times
	last        worktime.Instant // the last planned finish
	planEnd     worktime.Instant
	bound       lowerBound
	lateByWaits int64 // minutes by the clock past due days that waits alone make unavoidable
	leastLate   int64 // no plan misses due days by less
}

// conflict is a contradiction with the graph in which its arcs are counted, or with
// the set of statements that it is.
type conflict struct {
	network.Conflict
	g   *network.Graph
	set *levelling.Set
}

func (s *solution) solve(ctx context.Context, opt Options) error {
	if err := s.dates(); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := s.level(ctx, opt); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := s.holdBack(); err != nil {
		return err
	}
	s.was = nil // a memory does not hold on to those before it
	return s.forget()
}

// forget dates the waits alone anew where fitting them to the limits has set some
// of them aside.
func (s *solution) forget() error {
	changed := false
	for k := range s.conflicts {
		if c := &s.conflicts[k]; c.g != s.g && s.g.Forget(&c.Conflict) {
			changed = true
		}
	}
	if !changed {
		return nil
	}
	if err := s.dates(); err != nil {
		return err
	}
	s.boundByWaits(&s.early)
	return nil
}

// dates computes earliest and latest dates from the waits alone.
func (s *solution) dates() (err error) {
	if s.early, err = s.earliest(s.g, nil); err != nil {
		return err
	}
	s.finish = network.LastFinish(&s.early)
	s.late, s.finishBy, _, err = s.latest(s.g, &s.early, s.finish)
	return err
}

// earliest dates a graph and keeps the contradictions found.
func (s *solution) earliest(g *network.Graph, least []worktime.Instant) (network.Times, error) {
	t, conflicts, err := g.EarliestFrom(least)
	for _, c := range conflicts {
		s.conflicts = append(s.conflicts, conflict{Conflict: c, g: g})
	}
	return t, err
}

// level fits the network to its limits and dates it anew with the order found.
func (s *solution) level(ctx context.Context, opt Options) error {
	s.mendOnly = opt.Mend && s.was != nil
	effort := opt.effort(len(s.net.Steps), s.mendOnly)
	effort.Stop = stopWith(ctx, effort.Stop)
	best, how, err := s.order(effort)
	if err != nil {
		return err
	}
	s.letIn = best.Barred
	s.handOn(&best, how, effort)
	if err := s.datePlan(nil); err != nil {
		return err
	}
	s.unkept = s.planned
	if err := s.keepStarts(); err != nil {
		return err
	}
	return s.joinVisits(how, effort)
}

// stopWith has a search end with a context too: what it has found then is not used.
func stopWith(ctx context.Context, stop func() bool) func() bool {
	return func() bool { return ctx.Err() != nil || stop != nil && stop() }
}

// fitting is how a plan was fitted to its limits.
type fitting uint8

const (
	inPart   fitting = iota // some limit or statement is not kept
	anew                    // from nothing
	asBefore                // near the plan before
)

// handOn fixes the order of those who share a limit: as the plan before had it as far
// as that still goes, or so that steps keep the most slack.
func (s *solution) handOn(best *levelling.Schedule, how fitting, effort levelling.Effort) {
	switch how {
	case anew:
		s.chain = levelling.ChainLoosely(s.problem, best, effort.Chains)
	case asBefore:
		s.chain = levelling.ChainLike(s.problem, best, s.orderBefore)
	default:
		s.chain = levelling.Chain(s.problem, best)
	}
	s.h = s.problem.Graph.WithArcs(s.chain)
}

// order finds the order of those who share a limit: near the plan before, or from
// nothing.
func (s *solution) order(effort levelling.Effort) (levelling.Schedule, fitting, error) {
	if s.was != nil {
		best, ok, err := s.fitNear(effort)
		if ok || err != nil {
			return best, asBefore, err
		}
	}
	best, early, kept, err := s.fit(effort)
	switch {
	case err != nil:
		return best, inPart, err
	case kept:
		return s.prove(best, &early, effort), anew, nil
	}
	s.boundByWaits(&early) // an order that does not keep every limit can end before the bound of one
	return best, inPart, nil
}

// prove looks for a schedule that misses due days by less, then for a shorter one, or
// for proofs that there are none.
func (s *solution) prove(best levelling.Schedule, early *network.Times, effort levelling.Effort) levelling.Schedule {
	stages := levelling.NewStages(s.problem, best, early)
	stages.Lower(s.bound.at)
	stages.Run(effort, effort.Stop)
	s.leastLate = stages.LeastLate
	if stages.Bound > s.bound.at {
		s.bound = lowerBound{at: stages.Bound, why: ruledOut, punctual: true}
	}
	return stages.Best
}

// datePlan dates the plan in the order that it fixes, and how late each step may be.
func (s *solution) datePlan(least []worktime.Instant) (err error) {
	if s.planned, err = s.earliest(s.h, least); err != nil {
		return err
	}
	s.last = network.LastFinish(&s.planned)
	s.planLate, _, s.planEnd, err = s.latest(s.h, &s.planned, s.last)
	return err
}

// latest is the latest dates of a graph. Where most times and calendars leave none
// before a due day that is missed, however far back one looks, the due day gives in
// to the earliest finish.
func (s *solution) latest(g *network.Graph, early *network.Times, finish worktime.Instant) (late network.Times, finishBy []worktime.Instant, end worktime.Instant, err error) {
	bounds, end := g.Bounds(finish)
	late, finishBy, err = g.Latest(bounds)
	if errors.Is(err, network.ErrBeyond) && s.giveIn {
		for i := range bounds {
			bounds[i] = max(bounds[i], early.Finish[i])
		}
		late, finishBy, err = g.Latest(bounds)
	}
	return late, finishBy, end, err
}
