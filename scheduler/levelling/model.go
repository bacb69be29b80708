package levelling

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/proof"
	"gaugerod/scheduler/worktime"
)

// model is a problem as the proof search sees it: a start for each step, one more
// for as of, and one for the finish of everything. What is recorded is fixed.
type model struct {
	p    *Problem
	arcs []int32 // by arc of the model: the graph's arc, or -1: a step's finish comes before the end
	list []proof.Arc
}

// newModel lays a problem out between earliest dates and an end by which all must
// be finished. Steps with a bound finish by it. The second result is false when some
// step cannot: the model would have no schedule.
func newModel(p *Problem, early *network.Times, bounds []worktime.Instant, end worktime.Instant) (*proof.Model, bool) {
	g := p.Graph
	n := g.Steps()
	m := &model{p: p}
	out := &proof.Model{Lo: make([]int64, n+2), Hi: make([]int64, n+2), Goal: int32(n + 1), Times: m}
	for i := range n {
		out.Lo[i] = int64(early.Start[i])
		out.Hi[i] = int64(min(g.LastStartToFinishBy(i, min(end, bounds[i])), g.Upper[i]))
		if g.Progress[i] == network.Done {
			out.Hi[i] = out.Lo[i]
		}
	}
	out.Lo[n], out.Hi[n] = int64(g.AsOf), int64(g.AsOf)
	out.Lo[n+1], out.Hi[n+1] = int64(network.LastFinish(early)), int64(end)
	m.addArcs(out, early)
	out.Arcs = m.list
	m.addLimits(out)
	if plain := m.plain(out); plain != nil {
		out.Times = plain
	}
	for i := range out.Lo {
		out.Lo[i], out.Hi[i] = m.StartFrom(int32(i), out.Lo[i]), m.LastStartBy(int32(i), out.Hi[i])
		if out.Lo[i] > out.Hi[i] {
			return nil, false
		}
	}
	return out, true
}

// plain is the arithmetic of a model all in real time with nothing recorded, nil
// for others.
func (m *model) plain(out *proof.Model) *proof.Plain {
	g := m.p.Graph
	for i := range g.Steps() {
		if g.Cal[i] != network.RealTime || g.Progress[i] != network.Open {
			return nil
		}
	}
	for k, arc := range m.arcs {
		if arc < 0 {
			out.Arcs[k].Lag = g.Rest[out.Arcs[k].From]
			continue
		}
		a := &g.Arcs[arc]
		if a.Cal != network.RealTime {
			return nil
		}
		out.Arcs[k].Lag = a.Lag
		if a.FromEnd == scheduler.Finish {
			out.Arcs[k].Lag += g.Rest[a.From]
		}
		if a.ToEnd == scheduler.Finish {
			out.Arcs[k].Lag -= g.Rest[a.To]
		}
	}
	return &proof.Plain{Length: append(append([]int64(nil), g.Rest...), 0, 0), Arcs: out.Arcs}
}

// addArcs takes over the arcs between starts that are open. An arc to or from a
// recorded time only bounds the other end.
func (m *model) addArcs(out *proof.Model, early *network.Times) {
	g := m.p.Graph
	goal := out.Goal
	for k := range g.Arcs {
		a := &g.Arcs[k]
		into := g.Progress[a.To] == network.Done || a.Most && g.Fixed(a.To, a.ToEnd)
		switch {
		case a.Dropped || a.From == a.To:
		case g.Fixed(a.From, a.FromEnd):
			if s, _ := g.LeastStart(a, early); !into {
				out.Lo[a.To] = max(out.Lo[a.To], int64(s))
			}
		case into:
			out.Hi[a.From] = min(out.Hi[a.From], int64(g.GreatestStart(a, early)))
		default:
			m.add(a.From, a.To, int32(k))
		}
	}
	for i := range g.Steps() {
		if g.Progress[i] != network.Done {
			m.add(int32(i), goal, -1)
		}
	}
}

func (m *model) add(from, to, arc int32) {
	m.list = append(m.list, proof.Arc{From: from, To: to})
	m.arcs = append(m.arcs, arc)
}

func (m *model) addLimits(out *proof.Model) {
	g := m.p.Graph
	asOf := int32(g.Steps())
	limits := make([]proof.Limit, len(m.p.Limits))
	for l := range limits {
		limits[l].Size = int64(m.p.Limits[l].Size)
	}
	for u := range m.p.Uses {
		use := &m.p.Uses[u]
		from := use.From
		if m.p.heldAlready(use) {
			from = asOf
		}
		limits[use.Limit].Tasks = append(limits[use.Limit].Tasks, proof.Task{From: from, To: use.To, Amount: int64(use.Amount)})
	}
	for _, l := range limits {
		if len(l.Tasks) > 1 {
			out.Limits = append(out.Limits, l)
		}
	}
}

// open says whether a number of the model is a step with a calendar.
func (m *model) open(i int32) bool { return int(i) < m.p.Graph.Steps() }

// StartFrom implements proof.Times.
func (m *model) StartFrom(i int32, t int64) int64 {
	if !m.open(i) || m.p.Graph.Progress[i] == network.Done {
		return t
	}
	return int64(m.p.Graph.StartFrom(int(i), worktime.Instant(t)))
}

// LastStartBy implements proof.Times.
func (m *model) LastStartBy(i int32, t int64) int64 {
	if !m.open(i) || m.p.Graph.Progress[i] == network.Done {
		return t
	}
	return int64(m.p.Graph.LastStartBy(int(i), worktime.Instant(t)))
}

// Finish implements proof.Times.
func (m *model) Finish(i int32, s int64) int64 {
	switch {
	case !m.open(i):
		return s
	case m.p.Graph.Progress[i] == network.Done:
		return int64(m.p.Graph.Ended[i])
	}
	return int64(m.p.Graph.FinishOf(int(i), worktime.Instant(s)))
}

// StartPast implements proof.Times.
func (m *model) StartPast(i int32, t int64) int64 {
	if !m.open(i) || m.p.Graph.Progress[i] == network.Done {
		return t + 1
	}
	return int64(m.p.Graph.StartToFinishAt(int(i), worktime.Instant(t+1)))
}

// Least implements proof.Times.
func (m *model) Least(arc int32, s int64) int64 {
	from := m.list[arc].From
	s = m.StartFrom(from, s)
	k := m.arcs[arc]
	if k < 0 {
		return m.Finish(from, s)
	}
	a := &m.p.Graph.Arcs[k]
	t := worktime.Instant(s)
	if a.FromEnd == scheduler.Finish {
		t = m.p.Graph.FinishOf(int(from), t)
	}
	return int64(m.p.Graph.LeastStartFrom(a, t))
}

// Greatest implements proof.Times.
func (m *model) Greatest(arc int32, s int64) int64 {
	k := m.arcs[arc]
	t := worktime.Instant(m.LastStartBy(m.list[arc].To, s))
	if k < 0 {
		return int64(m.p.Graph.LastStartToFinishBy(int(m.list[arc].From), t))
	}
	a := &m.p.Graph.Arcs[k]
	if a.ToEnd == scheduler.Finish {
		t = m.p.Graph.FinishOf(int(a.To), t)
	}
	return int64(m.p.Graph.GreatestStartTo(a, t))
}
