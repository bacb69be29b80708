package randomjob

import (
	"math/rand/v2"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// maker holds a job under way. Beside the job it keeps a rough graph of the steps
// it will expand to, in an order in which every wait leads forward, so that most
// times and occupations can be drawn to be possible.
type maker struct {
	rng   *rand.Rand
	size  Size
	job   *scheduler.Job
	nodes []node
	edges []edge
	named map[scheduler.ID][]int // the nodes meant by a name in a wait
}

// node is a step that the job will expand to.
type node struct {
	id       scheduler.ID
	kind     scheduler.StepKind
	hold     scheduler.HoldKind
	witness  bool
	takes    worktime.Span
	trades   []scheduler.ID
	places   []scheduler.ID
	order    scheduler.ID
	recorded bool // it has a started, done or released fact
	pinned   bool
}

// edge says that one node comes before another, for rough reckoning.
type edge struct {
	from, to int
	least    worktime.Span
}

func (g *maker) has(f Feature) bool { return g.size.Without&f == 0 }

// chance is true in the given percent of cases.
func (g *maker) chance(percent int) bool { return g.rng.IntN(100) < percent }

// between is a number from low to high, both included.
func (g *maker) between(low, high int) int { return low + g.rng.IntN(high-low+1) }

func pick[T any](g *maker, from []T) T { return from[g.rng.IntN(len(from))] }

// some is up to n different members, at least one, in their order.
func some[T any](g *maker, from []T, n int) []T {
	n = g.between(1, min(n, len(from)))
	var out []T
	for k := range from {
		if g.rng.IntN(len(from)-k) < n-len(out) {
			out = append(out, from[k])
		}
	}
	return out
}

func span(amount int, unit worktime.Unit) worktime.Span {
	return worktime.Span{Amount: int32(amount), Unit: unit}
}

// working is a length of work.
func (g *maker) working() worktime.Span {
	switch g.rng.IntN(10) {
	case 0:
		return span(15*g.between(1, 12), worktime.Minutes)
	case 1, 2, 3:
		return span(g.between(1, 12), worktime.Hours)
	case 4:
		return span(1, worktime.Weeks)
	}
	return span(g.between(1, 4), worktime.Days)
}

// real is a length of real time.
func (g *maker) real() worktime.Span {
	switch g.rng.IntN(3) {
	case 0:
		return span(g.between(1, 60), worktime.ElapsedHours)
	case 1:
		return span(30*g.between(1, 50), worktime.ElapsedMinutes)
	}
	return span(g.between(1, 5), worktime.ElapsedDays)
}

// add puts a node at the end of the rough graph, under the names given beside its own.
func (g *maker) add(n node, names ...scheduler.ID) {
	k := len(g.nodes)
	g.nodes = append(g.nodes, n)
	for _, name := range append(names, n.id) {
		g.named[name] = append(g.named[name], k)
	}
}

// join notes that what one name means comes before what another means.
func (g *maker) join(from, to scheduler.ID, least worktime.Span) {
	for _, a := range g.named[from] {
		for _, b := range g.named[to] {
			g.edges = append(g.edges, edge{a, b, least})
		}
	}
}

// days is a length in rough working days, rounded up.
func (g *maker) days(s worktime.Span) int {
	m := g.job.Minutes(s)
	if s.Elapsed() {
		return int((m + 24*60 - 1) / (24 * 60))
	}
	return int((m + g.job.DayMinutes() - 1) / g.job.DayMinutes())
}

// longest is the rough longest way in days from the start of one node to the
// finish of every other, -1 where none leads there. from < 0: from the outset.
func (g *maker) longest(from int) []int {
	after := make([][]edge, len(g.nodes))
	for _, e := range g.edges {
		after[e.from] = append(after[e.from], e)
	}
	far := make([]int, len(g.nodes))
	for k := range far {
		far[k] = -1
		if k == from || from < 0 {
			far[k] = g.days(g.nodes[k].takes)
		}
	}
	for k := range far {
		if far[k] < 0 {
			continue
		}
		for _, e := range after[k] {
			far[e.to] = max(far[e.to], far[k]+g.days(e.least)+g.days(g.nodes[e.to].takes))
		}
	}
	return far
}
