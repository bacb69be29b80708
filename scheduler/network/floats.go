package network

import "gaugerod/scheduler/worktime"

// Floats is how far a step can slip, in minutes of its own calendar (US Navy
// NAVEDTRA 14233 p. 2-45: total float LS − ES = LF − EF; free float: what does not
// move the next step's early start).
type Floats struct{ Start, Finish, Total, Free int64 }

// FloatsOf is the floats of step i between earliest and latest dates. End is the
// horizon for steps that nothing follows.
func (g *Graph) FloatsOf(i int, early, late *Times, finishBy []worktime.Instant, end worktime.Instant) Floats {
	if g.Progress[i] == Done {
		return Floats{}
	}
	c := g.Calendars[g.Cal[i]]
	f := Floats{
		Start:  c.Work(late.Start[i]) - c.Work(early.Start[i]),
		Finish: c.Work(finishBy[i]) - c.Work(early.Finish[i]),
	}
	f.Total = min(f.Start, f.Finish)
	f.Free = max(0, c.Work(g.LatestFinishFor(i, early, end))-c.Work(early.Finish[i]))
	return f
}

// Bounds is the bound on each step's finish: its due day, or for steps without
// one the later of the last finish and the last due day.
func (g *Graph) Bounds(finish worktime.Instant) (bound []worktime.Instant, end worktime.Instant) {
	end = finish
	for _, d := range g.Due {
		if d.Known() {
			end = max(end, d)
		}
	}
	bound = make([]worktime.Instant, g.Steps())
	for i, d := range g.Due {
		bound[i] = min(d, end)
	}
	return bound, end
}

// LastFinish is the last of the finishes.
func LastFinish(t *Times) worktime.Instant {
	last := worktime.Ever
	for _, f := range t.Finish {
		last = max(last, f)
	}
	return last
}
