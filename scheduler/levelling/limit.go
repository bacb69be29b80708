package levelling

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Kind is what a limit is of.
type Kind string

// The kinds of limits.
const (
	Crews Kind = "crews" // of a trade
	Room  Kind = "room"  // in a place
	Alone Kind = "alone" // somebody needs a place to itself
	Gear  Kind = "gear"
)

// Limit is how much of something there is at any one time.
type Limit struct {
	Kind Kind
	ID   scheduler.ID // the trade, place, piece of gear or occupation
	Size int32
}

// Use takes an amount of a limit from the start of one step to the finish of
// another; for ordinary work both are the same step.
type Use struct {
	Limit, Amount int32
	From, To      int32
	Occupation    int32 // index in the network's occupations, or -1
}

// Problem is a graph with its limits: all that a solver needs to know.
type Problem struct {
	Graph  *network.Graph
	Limits []Limit
	Uses   []Use
	Barred []Bar     // occupations that would shut out what must come before their end
	opens  [][]int32 // by step: uses that begin with it
	shuts  [][]int32 // by step: occupations that end with it
}

// Bar is a step that an occupation would keep out although it has to come after the
// occupation's beginning and before its end: a contradiction. The step is let in.
type Bar struct{ Occupation, Step int32 }

// Schedule is a start and a finish for each step that keep all waits and limits.
type Schedule struct {
	network.Times
	Late   int64            // minutes by which due days are missed, all together
	Last   worktime.Instant // the last finish
	Barred []Bar            // steps placed against an occupation for want of another way
}

// heldAlready says whether a use is of an occupation that has begun: it holds from
// as of, whatever is left of its first step.
func (p *Problem) heldAlready(u *Use) bool {
	return u.From != u.To && p.Graph.Progress[u.From] != network.Open
}

func (p *Problem) index() {
	n := p.Graph.Steps()
	p.opens, p.shuts = make([][]int32, n), make([][]int32, n)
	for u := range p.Uses {
		use := &p.Uses[u]
		p.opens[use.From] = append(p.opens[use.From], int32(u))
		if use.From != use.To {
			p.shuts[use.To] = append(p.shuts[use.To], int32(u))
		}
	}
}
