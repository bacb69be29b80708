package network

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Conflict is a set of statements that cannot all hold. The arcs form a loop, or a
// chain from a release up to a pin or a recorded time.
type Conflict struct {
	Arcs    []int32
	Pin     int32 // index of a pin in the job that takes part, or -1
	Fact    int32 // a step whose recorded time takes part, or -1
	Dropped int32 // the wait set aside, or -1 when it is the pin
	Most    bool  // of that wait, its most time was set aside, not its least
}

// drop sets one statement of a conflict aside: the pin where there is one, else a
// most time, else the wait that was written last. What limits are behind stays.
func (g *Graph) drop(c *Conflict) {
	if c.Pin >= 0 {
		c.Dropped = -1
		g.PinKept[c.Pin] = false
		if i, ok := g.Net.Find(g.Net.Job.Pins[c.Pin].Step); ok {
			g.Upper[i] = worktime.Never
			g.Release[i], g.ReleaseBy[i] = g.unpinned[i], g.unpinnedBy[i]
		}
		return
	}
	worst := c.Arcs[0]
	for _, k := range c.Arcs[1:] {
		if g.dropsBefore(k, worst) {
			worst = k
		}
	}
	c.Dropped, c.Most = g.Arcs[worst].Wait, g.Arcs[worst].Most
	g.Arcs[worst].Dropped = true
}

// Forget sets aside in this graph what a conflict found in another one has set
// aside there, and says whether that changes anything.
func (g *Graph) Forget(c *Conflict) bool {
	changed := false
	for k := range g.Arcs {
		if a := &g.Arcs[k]; c.Dropped >= 0 && a.Wait == c.Dropped && a.Most == c.Most && !a.Dropped {
			a.Dropped, changed = true, true
		}
	}
	return changed
}

// dropsBefore says whether arc k is set aside rather than arc m.
func (g *Graph) dropsBefore(k, m int32) bool {
	a, b := &g.Arcs[k], &g.Arcs[m]
	if a.Most != b.Most {
		return a.Most
	}
	if a.Wait < 0 || b.Wait < 0 {
		return a.Wait >= 0 && b.Wait < 0 // limits are never set aside
	}
	p, q := g.Net.Waits[a.Wait].Pos, g.Net.Waits[b.Wait].Pos
	if p.Line != q.Line {
		return p.Line > q.Line
	}
	return a.Wait > b.Wait
}

// Waits is the waits of a conflict, each once, in the order of the chain.
func (c *Conflict) Waits(g *Graph) []int32 {
	var waits []int32
	seen := map[int32]bool{}
	for k := len(c.Arcs) - 1; k >= 0; k-- {
		if w := g.Arcs[c.Arcs[k]].Wait; w >= 0 && !seen[w] {
			seen[w] = true
			waits = append(waits, w)
		}
	}
	return waits
}

// Steps is the steps of a conflict, each once.
func (c *Conflict) Steps(g *Graph) []scheduler.ID {
	var ids []scheduler.ID
	seen := map[int32]bool{}
	see := func(i int32) {
		if !seen[i] {
			seen[i] = true
			ids = append(ids, g.Net.Steps[i].ID)
		}
	}
	for k := len(c.Arcs) - 1; k >= 0; k-- {
		see(g.Arcs[c.Arcs[k]].From)
		see(g.Arcs[c.Arcs[k]].To)
	}
	if c.Fact >= 0 {
		see(c.Fact)
	}
	return ids
}
