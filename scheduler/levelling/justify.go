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

// justify moves the steps of a schedule as late as they can be without a later
// finish, the last to finish first, and returns the order of their starts then.
func (m *mirror) justify(s *Schedule, raises int) ([]int64, bool) {
	order := make([]int64, len(s.Start))
	for i := range order {
		order[i] = -int64(s.Finish[i])
		end := s.Last
		if due := m.p.Graph.Due[i]; due < end {
			end = max(due, s.Finish[i])
		}
		m.early[i] = -end
	}
	right, ok := m.serial.schedule(order, m.early, raises/8)
	if !ok {
		return nil, false
	}
	for i := range order {
		order[i] = -int64(right.Finish[i])
	}
	return order, true
}
