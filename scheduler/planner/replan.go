package planner

import (
	"context"
	"errors"
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/alert"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Replan plans a job that was planned before and has changed since. It aims at the
// same as Plan, and of several plans that come equally near to it takes one that
// moves little: steps start where they were planned before wherever that costs
// neither lateness nor the finish. What the planning before has found out is used
// again where it still holds. Without a memory it is Plan.
//
// It returns what the next planning can go on from. Errors are those of Plan.
func Replan(ctx context.Context, job *scheduler.Job, before *Memory, opt Options) (*scheduler.Plan, *Memory, error) {
	net := opt.Network
	if net == nil {
		var err error
		if net, err = expand.Expand(job); err != nil {
			return nil, nil, err
		}
	}
	s, err := solve(ctx, net, before, opt)
	if err != nil {
		return nil, nil, fmt.Errorf("plan job %s: %w", job.ID, err)
	}
	plan := s.plan()
	plan.Alerts = alert.Find(net, plan)
	m := s.memory()
	if s.mended {
		m.finishGap, m.lateGap = min(m.finishGap, before.finishGap), min(m.lateGap, before.lateGap)
		m.visits = min(m.visits, before.visits)
	}
	return plan, m, nil
}

// mendingPart is the part of the effort of a planning from nothing that is spent on
// mending the plan before: a tenth.
const mendingPart = 10

// Where a plan is to be mended and no more, so many schedules are made, each begun
// anew so often to keep most times. Proving again what was proven would take three
// quarters of the time.
const (
	mendingSchedules = 2
	mendingRaises    = 40
)

// fitNear fits the network to its limits near the plan before, and searches as from
// nothing as well where steps have come or gone, or what was mended is not good
// enough. Ok is false where no order near the plan before keeps everything.
func (s *solution) fitNear(effort levelling.Effort) (best levelling.Schedule, ok bool, err error) {
	s.problem = levelling.NewProblem(s.g)
	early, ok, err := s.problemDates()
	if !ok {
		return best, false, err
	}
	was, same := s.was.match(s.net)
	s.stay = s.was.stays(s.g, was)
	s.orderBefore = s.was.order(s.problem, was)
	near, ok := levelling.Near(s.problem, s.stay, s.orderBefore, &early, &s.late, effort.Raises)
	if !ok {
		return best, false, nil
	}
	s.boundByWaits(&early)
	if same || s.mendOnly {
		s.noEasier = same && s.was.left != nil && s.problem.NoEasier(s.was.left.outline)
		if near = s.mend(near, &early, effort); s.mendOnly || s.asNearAsBefore(&near) {
			s.mended = true
			return near, true, nil
		}
	}
	s.boundByLoad(&early)
	far, kept := levelling.Level(s.problem, &early, &s.late, s.bound.at, effort)
	if kept && len(far.Barred) == 0 && (far.Late < near.Late || far.Late == near.Late && far.Last < near.Last) {
		near = far
	}
	return s.prove(near, &early, effort), true, nil
}

// problemDates is the earliest dates of the problem; ok is false where its waits, with
// the order that occupations force on them, contradict each other.
func (s *solution) problemDates() (early network.Times, ok bool, err error) {
	if s.problem.Graph == s.g {
		return s.early, true, nil
	}
	early, conflicts, err := s.problem.Graph.Earliest()
	return early, err == nil && len(conflicts) == 0, err
}

// mendingLoss is how much more of the gap between a plan and what bounds it a mended
// plan may have, and of visits: a twentieth. No gap where the plan before was proven.
const mendingLoss = 20

// asNearAsBefore says whether a schedule comes as near to what bounds it as the last
// plan made from nothing did. Where it does not, the changes can have made something
// possible, or necessary, that lies too far from that plan to be found near it.
func (s *solution) asNearAsBefore(near *levelling.Schedule) bool {
	m := s.was
	return int64(near.Last-s.bound.at) <= m.finishGap+m.finishGap/mendingLoss && near.Late-s.leastLate <= m.lateGap+m.lateGap/mendingLoss
}

// mend betters a schedule near the plan before, unless it is known to be as good as
// can be: by the waits, by what was proven of the plan before where nothing has
// become easier since, or by the load of the limits. Where the plan before was not
// proven, a search for a proof is not tried again.
func (s *solution) mend(near levelling.Schedule, early *network.Times, effort levelling.Effort) levelling.Schedule {
	best := func() bool { return near.Late <= s.leastLate && near.Last <= s.bound.at }
	if best() {
		return near
	}
	s.inherit(near.Late)
	if best() {
		return near
	}
	if old := s.was.left; old == nil || !old.bound.punctual { // where only the search did before, the load hardly does now
		if s.boundByLoad(early); best() {
			return near
		}
	}
	if s.mendOnly && effort.Schedules <= 1 {
		return near // too large a job for another schedule
	}
	effort.Schedules = max(effort.Schedules/mendingPart, 2)
	effort.LateEnds, effort.DeadEnds = effort.LateEnds/mendingPart, effort.DeadEnds/mendingPart
	if s.was.finishGap == 0 && s.was.lateGap == 0 && !s.mendOnly {
		if near = s.prove(near, early, effort); best() {
			return near
		}
	}
	return levelling.Better(s.problem, near, early, &s.late, s.bound.at, effort)
}

// inherit takes over what was proven of the plan before, where no schedule has
// become possible since that was not possible then. That the finish cannot be
// earlier was proven of the schedules that miss due days by no more than it did.
func (s *solution) inherit(late int64) {
	if !s.noEasier {
		return
	}
	old := s.was.left
	const since = "what was ruled out for the plan before still is, because nothing has become easier since"
	if old.bound.at > s.bound.at && late <= old.late {
		s.bound = lowerBound{at: old.bound.at, why: since, punctual: true}
	}
	s.leastLate = max(s.leastLate, old.leastLate)
}

// stays is where the steps of a graph were planned before, Ever where that does not
// count: of new ones, and of what has been recorded since.
func (m *Memory) stays(g *network.Graph, was []int32) []worktime.Instant {
	stay := make([]worktime.Instant, len(was))
	for i, k := range was {
		stay[i] = worktime.Ever
		if k >= 0 && m.stillOpen(g, int32(i), k) {
			stay[i] = m.starts[k]
		}
	}
	return stay
}

// keepStarts lets each step start where the plan before had it, as far as no due day
// is missed by more and nothing ends later.
func (s *solution) keepStarts() error {
	if s.stay == nil {
		return nil
	}
	bounds, _ := s.h.Bounds(s.last)
	for i := range bounds {
		bounds[i] = min(bounds[i], s.last)
	}
	late, _, err := s.h.Latest(bounds)
	if errors.Is(err, network.ErrBeyond) {
		return nil // due days that no dates can keep: everything stays as early as it can be
	}
	s.unkept = s.planned
	s.least = make([]worktime.Instant, len(s.stay))
	any := false
	for i := range s.least {
		s.least[i] = min(s.stay[i], late.Start[i])
		any = any || s.least[i] > s.planned.Start[i]
	}
	if !any {
		s.least = nil
		return nil
	}
	return s.datePlan(s.least)
}

// keptAt says whether step i is where it is because the plan before had it there.
func (s *solution) keptAt(i int) bool {
	return s.least != nil && !s.visits.joined[i] && s.planned.Start[i] > s.unkept.Start[i] && s.h.StartFrom(i, s.least[i]) == s.planned.Start[i]
}
