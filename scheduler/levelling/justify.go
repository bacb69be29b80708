package levelling

import (
	"gaugerod/scheduler/worktime"
)

// mirror is a problem with time running backwards, in which the same scheme places
// steps as late as they can be.
type mirror struct {
	p      *Problem
	serial *serial
	early  []worktime.Instant
}

func newMirror(p *Problem) *mirror {
	m := &Problem{Graph: p.Graph.Mirror(), Limits: p.Limits, Uses: make([]Use, len(p.Uses))}
	for u, use := range p.Uses {
		use.From, use.To = use.To, use.From
		m.Uses[u] = use
	}
	m.index()
	return &mirror{p: m, serial: newSerial(m), early: make([]worktime.Instant, m.Graph.Steps())}
}

// from places the steps as late as they can be without a later finish than that of a
// schedule or a due day it keeps, the last in an order first, and returns their
// starts; kept is false when some most time or pin is not kept.
func (m *mirror) from(s *Schedule, order []int64, raises int) (starts []int64, kept bool) {
	turned := make([]int64, len(order))
	for i := range turned {
		turned[i] = -order[i]
		end := s.Last
		if due := m.p.Graph.Due[i]; due < end {
			end = max(due, s.Finish[i])
		}
		m.early[i] = -end
	}
	right, kept := m.serial.schedule(turned, m.early, raises/8)
	for i := range turned {
		turned[i] = -int64(right.Finish[i])
	}
	return turned, kept
}
