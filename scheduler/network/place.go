package network

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// FinishOf is when the rest of step i, started at s, is finished.
func (g *Graph) FinishOf(i int, s worktime.Instant) worktime.Instant {
	if g.Rest[i] == 0 || !s.Known() {
		return s
	}
	c := g.Calendars[g.Cal[i]]
	return c.First(c.Work(s) + g.Rest[i])
}

// fitFrom is the least start of step i at or after t, and its finish.
func (g *Graph) fitFrom(i int32, t worktime.Instant) (start, finish worktime.Instant) {
	c := g.Calendars[g.Cal[i]]
	if g.Rest[i] == 0 {
		t = c.NextEdge(t)
		return t, t
	}
	return c.Fit(t, g.Rest[i])
}

// fitBy is the greatest start of step i with which it finishes by t, and its finish.
func (g *Graph) fitBy(i int32, t worktime.Instant) (start, finish worktime.Instant) {
	c := g.Calendars[g.Cal[i]]
	if g.Rest[i] == 0 {
		t = c.LastEdge(t)
		return t, t
	}
	return c.FitBy(t, g.Rest[i])
}

// StartFrom is the least start of step i at or after t.
func (g *Graph) StartFrom(i int, t worktime.Instant) worktime.Instant {
	c := g.Calendars[g.Cal[i]]
	if g.Rest[i] == 0 {
		return c.NextEdge(t)
	}
	return c.NextOpen(t)
}

// StartToFinishAt is the least start of step i with which it finishes at or after t.
func (g *Graph) StartToFinishAt(i int, t worktime.Instant) worktime.Instant {
	c := g.Calendars[g.Cal[i]]
	if g.Rest[i] == 0 {
		return c.NextEdge(t)
	}
	w := c.Work(t-1) + 1 - g.Rest[i]
	if c.IsContinuous() {
		return worktime.Instant(w)
	}
	return c.Last(max(w, 0))
}

// LastStartBy is the greatest start of step i at or before t.
func (g *Graph) LastStartBy(i int, t worktime.Instant) worktime.Instant {
	c := g.Calendars[g.Cal[i]]
	if g.Rest[i] == 0 {
		return c.LastEdge(t)
	}
	if c.NextOpen(t) == t {
		return t
	}
	return c.First(c.Work(t)) - 1
}

// LastStartToFinishBy is the greatest start of step i with which it finishes by t.
func (g *Graph) LastStartToFinishBy(i int, t worktime.Instant) worktime.Instant {
	c := g.Calendars[g.Cal[i]]
	if g.Rest[i] == 0 {
		return c.LastEdge(t)
	}
	return c.Last(c.Work(t) - g.Rest[i])
}

// least is the least instant of the arc's to end, given its from end.
func (g *Graph) least(a *Arc, t worktime.Instant) worktime.Instant {
	c := g.Calendars[a.Cal]
	if a.Lag == 0 && !a.Most {
		return t
	}
	u := c.First(c.Work(t) + a.Lag)
	if a.Most {
		return u
	}
	return max(t, u)
}

// greatest is the greatest instant of the arc's from end, given its to end: the
// inverse of least.
func (g *Graph) greatest(a *Arc, u worktime.Instant) worktime.Instant {
	c := g.Calendars[a.Cal]
	if a.Lag == 0 && !a.Most {
		return u
	}
	t := c.Last(c.Work(u) - a.Lag)
	if a.Most {
		return t
	}
	return min(t, u)
}

// Times is a start and a finish for each step. Of a begun step it is the start of
// the rest.
type Times struct{ Start, Finish []worktime.Instant }

// NewTimes is room for n steps.
func NewTimes(n int) Times {
	both := make([]worktime.Instant, 2*n)
	return Times{Start: both[:n:n], Finish: both[n:]}
}

// at is the instant of one end of a step: the recorded one where there is one.
func (g *Graph) at(t *Times, i int32, end scheduler.End) worktime.Instant {
	if end == scheduler.Finish {
		return t.Finish[i]
	}
	if g.Progress[i] != Open {
		return g.Began[i]
	}
	return t.Start[i]
}

// Fixed says whether one end of a step is a fact.
func (g *Graph) Fixed(i int32, end scheduler.End) bool {
	return g.Progress[i] == Done || g.Progress[i] == Begun && end == scheduler.Start
}

// LeastStart is the least start of the arc's to step that the arc allows, before
// looking at whether the step can work then.
func (g *Graph) LeastStart(a *Arc, t *Times) (start worktime.Instant, raw worktime.Instant) {
	raw = g.least(a, g.at(t, a.From, a.FromEnd))
	return g.startWith(a, raw), raw
}

// LeastStartFrom is the least start of the arc's to step when its from end is at t.
func (g *Graph) LeastStartFrom(a *Arc, t worktime.Instant) worktime.Instant {
	return g.startWith(a, g.least(a, t))
}

// startWith is the least start of the arc's to step that brings its to end to t.
func (g *Graph) startWith(a *Arc, t worktime.Instant) worktime.Instant {
	if a.ToEnd == scheduler.Finish {
		return g.StartToFinishAt(int(a.To), t)
	}
	return g.StartFrom(int(a.To), t)
}

// GreatestStart is the greatest start of the arc's from step that the arc allows,
// given its to end.
func (g *Graph) GreatestStart(a *Arc, t *Times) worktime.Instant {
	if !g.limits(a) {
		return worktime.Never
	}
	return g.GreatestStartTo(a, g.upTo(a, t))
}

// GreatestStartTo is the greatest start of the arc's from step when its to end is
// at t.
func (g *Graph) GreatestStartTo(a *Arc, t worktime.Instant) worktime.Instant {
	return g.startBy(a, g.greatest(a, t))
}

// startBy is the greatest start of the arc's from step with its from end by t.
func (g *Graph) startBy(a *Arc, t worktime.Instant) worktime.Instant {
	if a.FromEnd == scheduler.Start {
		return g.LastStartBy(int(a.From), t)
	}
	return g.LastStartToFinishBy(int(a.From), t)
}

// LeastEnd is the least instant of the arc's to end, given where its from end is.
func (g *Graph) LeastEnd(a *Arc, t *Times) worktime.Instant {
	return g.least(a, g.at(t, a.From, a.FromEnd))
}
