package randomjob

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// facts draws an as-of day and what has been recorded before it: the first steps
// are done, some after them have started, a few are out of order.
func (g *maker) facts() {
	if !g.has(Facts) || g.chance(15) {
		return
	}
	past := g.between(5, 40)
	asOf := g.job.Start + worktime.Date(past)
	g.job.AsOf = &asOf
	done := g.rng.IntN(len(g.nodes)/2 + 1)
	for k := range g.nodes {
		n := &g.nodes[k]
		day := g.job.Start
		if done > 0 {
			day += worktime.Date(min(k*(past-1)/done, past-1))
		}
		switch {
		case k < done && g.chance(85), k >= done && g.chance(4):
			g.finished(n, min(day, asOf-1), asOf)
		case k < done+4 && n.kind != scheduler.HoldStep && g.chance(50):
			g.started(n, min(day, asOf-1))
		case n.kind == scheduler.HoldStep && g.chance(50):
			g.pending(n, asOf)
		}
	}
}

// at is a day, mostly with a time of day.
func (g *maker) at(day worktime.Date) *worktime.When {
	w := worktime.When{Day: day}
	if g.chance(60) {
		c := clock(g.between(6, 18), 15*g.rng.IntN(4))
		w.Time = &c
	}
	return &w
}

func (g *maker) finished(n *node, day, asOf worktime.Date) {
	f := scheduler.Fact{Step: n.id, By: g.person()}
	n.recorded = true
	if n.kind == scheduler.HoldStep {
		f.Released = g.at(day)
		f.Note, f.Evidence = "Seen.", "sheet 1"
		if n.hold == scheduler.Measure {
			found := g.between(300, 3000)
			f.Measured = &found
		}
	} else {
		f.Done = g.at(min(day+worktime.Date(g.rng.IntN(4)), asOf-1))
		if g.chance(70) {
			f.Started = g.at(day)
			if f.Started.Day == f.Done.Day {
				f.Started.Time, f.Done.Time = nil, nil
			}
		}
	}
	g.job.Facts = append(g.job.Facts, f)
}

func (g *maker) started(n *node, day worktime.Date) {
	n.recorded = true
	f := scheduler.Fact{Step: n.id, Started: g.at(day), By: g.person()}
	if g.chance(50) {
		left := span(g.between(1, 20), worktime.Hours)
		if n.takes.Elapsed() {
			left = span(g.between(1, 20), worktime.ElapsedHours)
		}
		f.Remaining = &left
	}
	g.job.Facts = append(g.job.Facts, f)
}

// pending is word about a hold that is not released.
func (g *maker) pending(n *node, asOf worktime.Date) {
	f := scheduler.Fact{Step: n.id, By: g.person()}
	switch draw := g.rng.IntN(3); {
	case draw == 0:
		f.Booked = g.at(asOf + worktime.Date(g.rng.IntN(15)))
	case draw == 1:
		f.Expected = g.at(asOf + worktime.Date(g.rng.IntN(25)))
	default:
		f.Refused = g.at(asOf - worktime.Date(g.between(1, int(asOf-g.job.Start))))
		f.Note = "Not yet right."
		if g.chance(50) {
			f.Booked = g.at(asOf + worktime.Date(g.rng.IntN(10)))
		}
	}
	g.job.Facts = append(g.job.Facts, f)
}
