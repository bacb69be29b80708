package randomjob

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// least is a least time of a wait, mostly none.
func (g *maker) least() worktime.Span {
	switch draw := g.rng.IntN(10); {
	case draw < 6:
		return worktime.Span{}
	case draw < 8 && g.has(Elapsed):
		return g.real()
	}
	return span(g.between(1, 16), worktime.Hours)
}

func (g *maker) ends() (from, to scheduler.End) {
	if g.has(AllEnds) && g.chance(40) {
		return scheduler.End(g.rng.IntN(2)), scheduler.End(g.rng.IntN(2))
	}
	return scheduler.Finish, scheduler.Start
}

func (g *maker) wait(from, to scheduler.ID) scheduler.Wait {
	w := scheduler.Wait{Least: g.least()}
	w.From.Step, w.To.Step = from, to
	w.From.End, w.To.End = g.ends()
	if g.chance(80) {
		w.Reason = pick(g, scheduler.Reasons)
	}
	if g.chance(20) {
		w.Note, w.Source = "Drawn by lot.", "invented for a test"
	}
	return w
}

// waitsInto draws waits from nodes before the given number into a step or into
// every instance of a typical's step.
func (g *maker) waitsInto(to scheduler.ID, before int) {
	if before == 0 {
		return
	}
	taken := map[scheduler.ID]bool{}
	for range g.rng.IntN(4) {
		k := g.rng.IntN(before)
		if g.chance(70) {
			k = max(0, before-1-g.rng.IntN(min(before, 8)))
		}
		from := g.nodes[k].id
		if group := g.groupOf(from); group != "" && g.chance(60) {
			from = group
		}
		if taken[from] || (g.groupOf(from) != "" && taken[g.groupOf(from)]) {
			continue
		}
		taken[from] = true
		w := g.wait(from, to)
		g.job.Waits = append(g.job.Waits, w)
		g.join(from, to, w.Least)
	}
}

// groupOf is "typical.local" of an instance "place.local", empty for any other step.
func (g *maker) groupOf(id scheduler.ID) scheduler.ID {
	for k := range g.job.Typicals {
		ty := &g.job.Typicals[k]
		for _, place := range ty.Places {
			for _, t := range ty.Tasks {
				if place+"."+t.ID == id {
					return ty.ID + "." + t.ID
				}
			}
			for _, h := range ty.Holds {
				if place+"."+h.ID == id {
					return ty.ID + "." + h.ID
				}
			}
		}
	}
	return ""
}

// localWaits joins the steps of a typical in a chain under their local names.
func (g *maker) localWaits(ty *scheduler.Typical) {
	var locals []scheduler.ID
	for _, t := range ty.Tasks {
		locals = append(locals, t.ID)
	}
	for _, h := range ty.Holds {
		locals = append(locals, h.ID)
	}
	for k := 1; k < len(locals); k++ {
		w := g.wait(locals[k-1], locals[k])
		ty.Waits = append(ty.Waits, w)
		for _, place := range ty.Places {
			g.join(place+"."+locals[k-1], place+"."+locals[k], w.Least)
		}
	}
}

// mosts gives some waits and layers a most time: more than the rough longest way
// between their ends needs, or, where the size asks for it, hardly any.
func (g *maker) mosts() {
	if !g.has(Mosts) {
		return
	}
	for k := range g.job.Waits {
		g.most(&g.job.Waits[k], g.job.Waits[k].From.Step, g.job.Waits[k].To.Step, 20)
	}
	for k := range g.job.Typicals {
		ty := &g.job.Typicals[k]
		for i := range ty.Waits {
			w := &ty.Waits[i]
			g.most(w, ty.ID+"."+w.From.Step, ty.ID+"."+w.To.Step, 25)
		}
	}
	for k := range g.job.BuildUps {
		g.exposures(&g.job.BuildUps[k])
	}
}

func (g *maker) most(w *scheduler.Wait, from, to scheduler.ID, percent int) {
	if !g.chance(percent) {
		return
	}
	tight := g.chance(g.size.Tight)
	if !tight && g.anyRecorded(from, to) {
		return
	}
	days := g.span(from, to)*3 + g.between(10, 40)
	if tight {
		days = g.days(w.Least) + g.rng.IntN(2)
	}
	most := span(days, worktime.Days)
	if w.Least.Elapsed() || (w.Least.Zero() && g.has(Elapsed) && g.chance(30)) {
		most = span(days*2, worktime.ElapsedDays)
	}
	if g.job.Minutes(most) < g.job.Minutes(w.Least) {
		return
	}
	w.Most = &most
}

func (g *maker) exposures(b *scheduler.BuildUp) {
	for k := 0; k+1 < len(b.Layers); k++ {
		l, next := &b.Layers[k], &b.Layers[k+1]
		tight := g.chance(g.size.Tight)
		if !g.chance(50) || (!tight && g.anyRecorded(l.By, next.By)) {
			continue
		}
		days := g.span(l.By, next.By)*4 + g.between(15, 60)
		if tight {
			days = g.days(l.Cure) + g.between(1, 3)
		}
		exposed := span(days, worktime.ElapsedDays)
		l.Exposed = &exposed
	}
}

func (g *maker) anyRecorded(names ...scheduler.ID) bool {
	for _, n := range names {
		for _, k := range g.named[n] {
			if g.nodes[k].recorded || g.nodes[k].pinned {
				return true
			}
		}
	}
	return false
}

// span is the rough longest way between two names in days.
func (g *maker) span(from, to scheduler.ID) int {
	most := 0
	for _, a := range g.named[from] {
		far := g.longest(a)
		for _, b := range g.named[to] {
			most = max(most, far[b])
		}
	}
	return most
}
