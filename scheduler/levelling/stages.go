package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Stages is the way from a schedule to the best there is: first the fewest minutes
// past due days, then, with no more than those, the earliest finish. For that it
// searches downwards from the best, plans parts of it anew and raises the bound from
// below. Each stage has its own effort, keeps the best found and can be gone on with.
type Stages struct {
	Proof
	LeastLate int64 // no schedule misses due days by fewer minutes, all together
	p         *Problem
	early     *network.Times
	late      *lateProver
	finish    *Prover
	bound     worktime.Instant // on the finish, from elsewhere
}

// NewStages sets out from a schedule that keeps all waits and limits, with the
// earliest dates that waits alone allow.
func NewStages(p *Problem, best Schedule, early *network.Times) *Stages {
	s := &Stages{p: p, early: early, late: newLateProver(p, best, early)}
	s.shorten(best)
	return s
}

// Punctual says whether the best schedule is proven to miss due days by as little as
// can be.
func (s *Stages) Punctual() bool { return s.Best.Late <= s.LeastLate }

// Run goes on with each stage that is not at its end. Stop, when not nil, is asked
// between dead ends.
func (s *Stages) Run(effort Effort, stop func() bool) {
	s.late.run(effort.LateEnds, stop)
	if s.late.best.Late < s.Best.Late {
		s.shorten(s.late.best)
	}
	s.finish.Run(effort.DeadEnds/2, stop)
	s.finish.Revise(effort.DeadEnds/4, stop)
	s.finish.Raise(effort.DeadEnds/4, stop)
	if s.finish.Best.Late < s.late.best.Late {
		s.late.offer(s.finish.Best)
	}
	s.settle()
}

// Lower shows the second stage a bound on the finish of every schedule.
func (s *Stages) Lower(bound worktime.Instant) {
	s.bound = bound
	s.finish.Lower(bound)
	s.settle()
}

// shorten begins the second stage with a schedule.
func (s *Stages) shorten(best Schedule) {
	bounds, sum := s.p.punctual(best.Late, s.early)
	if best.Late <= s.p.unavoidable(s.early) {
		sum = nil // the bounds say it all
	}
	s.finish = newProver(s.p, best, true, s.early, bounds, sum)
	s.finish.Lower(s.bound)
	s.settle()
}

func (s *Stages) settle() {
	s.Proof = s.finish.Proof
	s.DeadEnds += s.late.deadEnds
	s.LeastLate = s.late.least
}

// Prove takes a schedule through all stages, with so many dead ends for each.
func Prove(p *Problem, best Schedule, early *network.Times, effort int64) Proof {
	s := NewStages(p, best, early)
	s.Run(Effort{LateEnds: effort, DeadEnds: effort}, nil)
	return s.Proof
}
