package network

import "gaugerod/scheduler/worktime"

// shrink makes a conflict a smallest one: it starts from arcs that cannot all hold,
// and leaves out what the rest contradicts itself without (a deletion filter:
// Chinneck and Dravnieks, ORSA J. on Computing 3, 1991).
//
// The arcs found first can hold by themselves: over calendars one loop can push at
// some times and another at others, and steps that hold each other hide what drove
// them there. Then all loops seen to push are taken in, and after that everything
// that leads to the steps of the conflict.
func (f *forward) shrink(c *Conflict) {
	g := f.g
	c.Arcs = union(nil, c.Arcs) // a chain that sets out from a loop goes round it more than once
	for _, more := range []func(*Conflict) []int32{nil, f.seenToPush, g.leadingTo} {
		if more != nil {
			c.Arcs = union(c.Arcs, more(c))
		}
		if !g.canHold(c.Arcs, c.Pin) {
			if c.Pin >= 0 || !g.isLoop(c.Arcs) {
				c.Arcs = g.leaveOut(c.Arcs, c.Pin)
			}
			return
		}
	}
}

// isLoop says whether arcs are one loop through steps of which nothing is recorded,
// through each once. None can be left out of it: the others are a chain then, which
// only pushes on and can hold.
func (g *Graph) isLoop(arcs []int32) bool {
	next := make(map[int32]int32, len(arcs))
	for _, k := range arcs {
		a := &g.Arcs[k]
		if g.Progress[a.From] != Open {
			return false
		}
		next[a.From] = a.To
	}
	first := g.Arcs[arcs[0]].From
	i, ok := next[first]
	n := 1
	for ; ok && i != first; n++ {
		if i, ok = next[i]; n == len(arcs) {
			return false
		}
	}
	return ok && n == len(arcs) && n == len(next)
}

func (f *forward) seenToPush(*Conflict) []int32 {
	var arcs []int32
	for k := range f.g.Arcs {
		if f.pushed[int32(k)] {
			arcs = append(arcs, int32(k))
		}
	}
	return arcs
}

// leadingTo is every arc from which the steps of a conflict can be reached.
func (g *Graph) leadingTo(c *Conflict) []int32 {
	var arcs, queue []int32
	seen := map[int32]bool{}
	visit := func(i int32) {
		if !seen[i] {
			seen[i] = true
			queue = append(queue, i)
		}
	}
	for _, k := range c.Arcs {
		visit(g.Arcs[k].From)
		visit(g.Arcs[k].To)
	}
	if c.Pin >= 0 {
		if i, ok := g.Net.Find(g.Net.Job.Pins[c.Pin].Step); ok {
			visit(int32(i))
		}
	}
	for ; len(queue) > 0; queue = queue[1:] {
		if g.Progress[queue[0]] == Done {
			continue
		}
		for _, k := range g.In(int(queue[0])) {
			if !g.Arcs[k].Dropped {
				arcs = append(arcs, k)
				visit(g.Arcs[k].From)
			}
		}
	}
	return arcs
}

// leaveOut leaves out of contradicting arcs what is not needed for it, in blocks
// that are halved.
func (g *Graph) leaveOut(arcs []int32, pin int32) []int32 {
	for size := max(len(arcs)/2, 1); ; size = max(size/2, 1) {
		for k := 0; k < len(arcs); {
			end := min(k+size, len(arcs))
			without := append(append([]int32(nil), arcs[:k]...), arcs[end:]...)
			if g.canHold(without, pin) {
				k = end
			} else {
				arcs = without
			}
		}
		if size == 1 {
			return arcs
		}
	}
}

func union(a, b []int32) []int32 {
	has := make(map[int32]bool, len(a)+len(b))
	for _, x := range a {
		has[x] = true
	}
	for _, x := range b {
		if !has[x] {
			has[x] = true
			a = append(a, x)
		}
	}
	return a
}

// canHold says whether some dates keep these arcs, what is recorded, and of the
// pins this one alone.
func (g *Graph) canHold(arcs []int32, pin int32) bool {
	f := newForward(g.part(arcs, pin))
	f.partial = true
	conflict, err := f.run()
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

func (g *Graph) takeStep(from *Graph, i, pin int32) {
	g.Cal, g.Work, g.Rest = append(g.Cal, from.Cal[i]), append(g.Work, from.Work[i]), append(g.Rest, from.Rest[i])
	g.Progress = append(g.Progress, from.Progress[i])
	g.Began, g.Ended = append(g.Began, from.Began[i]), append(g.Ended, from.Ended[i])
	g.Release, g.ReleaseBy = append(g.Release, from.Release[i]), append(g.ReleaseBy, from.ReleaseBy[i])
	upper := worktime.Never
	if pin >= 0 && from.Net.Job.Pins[pin].Step == from.Net.Steps[i].ID {
		upper = from.Upper[i]
	}
	g.Upper, g.Due, g.PinOf = append(g.Upper, upper), append(g.Due, worktime.Never), append(g.PinOf, from.PinOf[i])
}
