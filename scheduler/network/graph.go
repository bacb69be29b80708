package network

import (
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Progress is how far a step has come, as far as its dates are concerned.
type Progress uint8

// The three states of progress.
const (
	Open  Progress = iota // not started: both ends are to be dated
	Begun                 // started: the start is a fact, the rest is to be dated
	Done                  // both ends are facts
)

// Calendars that every graph has.
const (
	RealTime = 0 // every minute counts
	Site     = 1 // the site's week less its closures
)

// Graph is a network in the form the solver works on: one entry a step in each
// slice, arcs grouped by the step they leave. Times are instants, lengths minutes
// of the step's calendar.
type Graph struct {
	Net       *scheduler.Network
	Zone      *time.Location
	AsOf      worktime.Instant
	Calendars []*worktime.Calendar

	Cal       []int32 // the step's calendar
	Work      []int64 // the whole step
	Rest      []int64 // what is left of it: Work where nothing has been done
	Progress  []Progress
	Began     []worktime.Instant // recorded start, of Begun and Done
	Ended     []worktime.Instant // recorded finish, of Done
	Release   []worktime.Instant // the (rest of the) step starts no earlier
	ReleaseBy []scheduler.DriverKind
	Upper     []worktime.Instant // a pin: it starts no later; Never: none
	Due       []worktime.Instant // finish by then; Never: none
	PinOf     []int32            // by step: index of the pin in the job, -1: none
	PinKept   []bool             // by pin: false once it has been set aside

	calendars  *calendars         // on which it is laid out, nil without a job
	unpinned   []worktime.Instant // Release without the step's pin
	unpinnedBy []scheduler.DriverKind

	Arcs   []Arc   // grouped by From
	first  []int32 // Arcs[first[i]:first[i+1]] leave step i
	into   []int32 // indices of arcs, grouped by To
	intoAt []int32
	rank   []int32 // order of the steps in which least times run forwards
	order  []int32 // steps by rank
	laid   laid    // Arcs as the passes read them; none of a graph that is seldom dated
}

// Arc says that one end of a step lies at or after another's, shifted by Lag
// minutes on a calendar, the site's or real time. Most arcs run from a wait's to end
// back to its from end with the most time as negative lag; no other lag is negative.
type Arc struct {
	From, To       int32
	FromEnd, ToEnd scheduler.End
	Most           bool
	Dropped        bool
	Cal            int32
	Wait           int32 // index in Net.Waits, or -1
	Limit          int32 // index of the limit that made it, or -1
	Lag            int64
}

// Steps is the number of steps.
func (g *Graph) Steps() int { return len(g.Cal) }

// Out is the arcs that leave a step.
func (g *Graph) Out(i int) []Arc { return g.Arcs[g.first[i]:g.first[i+1]] }

// FirstOut is the index in Arcs of the first arc that leaves a step.
func (g *Graph) FirstOut(i int) int { return int(g.first[i]) }

// In is the indices of the arcs that end at a step.
func (g *Graph) In(j int) []int32 { return g.into[g.intoAt[j]:g.intoAt[j+1]] }

// WithArcs is the graph with more arcs; the slices by step are shared.
func (g *Graph) WithArcs(more []Arc) *Graph {
	h := *g
	h.PinKept = g.PinKept
	h.index(append(append([]Arc(nil), g.Arcs...), more...))
	h.layOut()
	return &h
}

// index groups arcs by both ends and ranks the steps.
func (g *Graph) index(arcs []Arc) {
	n := g.Steps()
	g.first, g.intoAt = make([]int32, n+1), make([]int32, n+1)
	for k := range arcs {
		g.first[arcs[k].From+1]++
		g.intoAt[arcs[k].To+1]++
	}
	for i := range n {
		g.first[i+1] += g.first[i]
		g.intoAt[i+1] += g.intoAt[i]
	}
	g.Arcs = make([]Arc, len(arcs))
	g.into = make([]int32, len(arcs))
	nextOut := append([]int32(nil), g.first[:n]...)
	for k := range arcs {
		at := &nextOut[arcs[k].From]
		g.Arcs[*at] = arcs[k]
		*at++
	}
	nextIn := append([]int32(nil), g.intoAt[:n]...)
	for k := range g.Arcs {
		at := &nextIn[g.Arcs[k].To]
		g.into[*at] = int32(k)
		*at++
	}
	g.rankSteps()
}

// Order is the steps in the order in which least times run forwards, but for loops.
func (g *Graph) Order() []int32 { return g.order }

// rankSteps orders the steps so that least times run forwards, and else in the order
// of the file, in which what is read together lies together: depth first, each step
// after those that it waits for (Tarjan 1976). Where they wait for each other in a
// loop, one of its arcs runs back.
func (g *Graph) rankSteps() {
	n := g.Steps()
	g.order, g.rank = make([]int32, 0, n), make([]int32, n)
	const unseen, seen = -2, -1
	for i := range g.rank {
		g.rank[i] = unseen
	}
	next := append([]int32(nil), g.intoAt[:n]...)
	var path []int32
	for i := range int32(n) {
		if g.rank[i] != unseen {
			continue
		}
		g.rank[i] = seen
		path = append(path, i)
		for len(path) > 0 {
			j := path[len(path)-1]
			if next[j] == g.intoAt[j+1] {
				g.rank[j] = int32(len(g.order))
				g.order = append(g.order, j)
				path = path[:len(path)-1]
				continue
			}
			a := &g.Arcs[g.into[next[j]]]
			next[j]++
			if !a.Most && g.rank[a.From] == unseen {
				g.rank[a.From] = seen
				path = append(path, a.From)
			}
		}
	}
}
