package network

import "gaugerod/scheduler/worktime"

// shrink makes a conflict a smallest one: it starts from the arcs that were seen to
// push, and leaves out one after the other where the rest contradict each other
// without it (a deletion filter: Chinneck and Dravnieks, ORSA J. on Computing 3,
// 1991). Over calendars a loop can push only at times, and others at others, so that
// none of them alone is the reason.
func (g *Graph) shrink(c *Conflict, seen map[int32]bool) {
	if g.canHold(c.Arcs, c.Pin) {
		for k := range g.Arcs {
			if seen[int32(k)] && !contains(c.Arcs, int32(k)) {
				c.Arcs = append(c.Arcs, int32(k))
			}
		}
		if g.canHold(c.Arcs, c.Pin) {
			return
		}
	}
	for k := 0; k < len(c.Arcs); {
		without := append(append([]int32(nil), c.Arcs[:k]...), c.Arcs[k+1:]...)
		if g.canHold(without, c.Pin) {
			k++
		} else {
			c.Arcs = without
		}
	}
}

// canHold says whether some dates keep these arcs, what is recorded, and of the
// pins this one alone.
func (g *Graph) canHold(arcs []int32, pin int32) bool {
	conflict, err := newForward(g.part(arcs, pin)).run(nil)
	return conflict == nil && err == nil
}

// part is the graph of some arcs and the steps they join.
func (g *Graph) part(arcs []int32, pin int32) *Graph {
	p := &Graph{Net: g.Net, Zone: g.Zone, AsOf: g.AsOf, Calendars: g.Calendars, PinKept: g.PinKept}
	number := map[int32]int32{}
	add := func(i int32) int32 {
		j, ok := number[i]
		if !ok {
			j = int32(len(p.Cal))
			number[i] = j
			p.takeStep(g, i, pin)
		}
		return j
	}
	list := make([]Arc, len(arcs))
	for k, a := range arcs {
		list[k] = g.Arcs[a]
		list[k].From, list[k].To = add(g.Arcs[a].From), add(g.Arcs[a].To)
	}
	if pin >= 0 {
		if i, ok := g.Net.Find(g.Net.Job.Pins[pin].Step); ok {
			add(int32(i))
		}
	}
	p.index(list)
	return p
}

func (p *Graph) takeStep(g *Graph, i, pin int32) {
	p.Cal, p.Work, p.Rest = append(p.Cal, g.Cal[i]), append(p.Work, g.Work[i]), append(p.Rest, g.Rest[i])
	p.Progress = append(p.Progress, g.Progress[i])
	p.Began, p.Ended = append(p.Began, g.Began[i]), append(p.Ended, g.Ended[i])
	p.Release, p.ReleaseBy = append(p.Release, g.Release[i]), append(p.ReleaseBy, g.ReleaseBy[i])
	upper := worktime.Never
	if pin >= 0 && g.Net.Job.Pins[pin].Step == g.Net.Steps[i].ID {
		upper = g.Upper[i]
	}
	p.Upper, p.Due, p.PinOf = append(p.Upper, upper), append(p.Due, worktime.Never), append(p.PinOf, g.PinOf[i])
}

func contains(list []int32, x int32) bool {
	for _, y := range list {
		if y == x {
			return true
		}
	}
	return false
}
