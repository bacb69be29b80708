package jobfile

import (
	"slices"

	"gaugerod/scheduler"
)

// The positions of things, and of all things in them. Lists in things are copied before
// they are written, for jobs share them.

func closurePos(c *scheduler.Closure) *scheduler.Pos { return &c.Pos }

// stamped is a copy of a list whose things have a position.
func stamped[T any](all []T, pos func(*T) *scheduler.Pos, at scheduler.Pos) []T {
	all = slices.Clone(all)
	for k := range all {
		*pos(&all[k]) = at
	}
	return all
}

func tradePos(t *scheduler.Trade, at scheduler.Pos) {
	t.Pos, t.Off = at, stamped(t.Off, closurePos, at)
}

func placePos(p *scheduler.Place, at scheduler.Pos) {
	p.Pos, p.Closures = at, stamped(p.Closures, closurePos, at)
}

func orderPos(o *scheduler.Order, at scheduler.Pos) {
	o.Pos, o.Stages = at, stamped(o.Stages, func(g *scheduler.Stage) *scheduler.Pos { return &g.Pos }, at)
}

func typicalPos(t *scheduler.Typical, at scheduler.Pos) {
	t.Pos = at
	t.Tasks = stamped(t.Tasks, func(t *scheduler.Task) *scheduler.Pos { return &t.Pos }, at)
	t.Holds = stamped(t.Holds, func(h *scheduler.Hold) *scheduler.Pos { return &h.Pos }, at)
	t.Waits = stamped(t.Waits, waitPos, at)
}

func buildUpPos(b *scheduler.BuildUp, at scheduler.Pos) {
	b.Pos, b.Layers = at, stamped(b.Layers, func(l *scheduler.Layer) *scheduler.Pos { return &l.Pos }, at)
}

func (s things[T]) stamp(job *scheduler.Job, at func(k int) scheduler.Pos) {
	all := s.in(job)
	*all = slices.Clone(*all)
	starts := map[scheduler.ID]scheduler.Pos{}
	for k := range *all {
		s.pos(&(*all)[k], at(k))
		if s.step != nil {
			starts[s.step(&(*all)[k])] = at(k)
		}
	}
	if s.step == nil {
		return
	}
	job.Waits = slices.Clone(job.Waits)
	for k := range job.Waits {
		w := &job.Waits[k]
		if pos, ok := starts[w.To.Step]; ok && w.To.End == scheduler.Start {
			w.Pos = pos
		}
	}
}

func (s apart) stamp(job *scheduler.Job, at func(k int) scheduler.Pos) {
	job.Waits = slices.Clone(job.Waits)
	for n, k := range s.of(job) {
		job.Waits[k].Pos = at(n)
	}
}
