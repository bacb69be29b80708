package why

import (
	"fmt"
	"slices"

	"gaugerod/scheduler"
)

// HolderKind is what kind of thing could give way.
type HolderKind string

// The kinds of things that could give way. Waits, facts and days off are none: what
// cures takes its time, and what was recorded is so.
const (
	Work HolderKind = "work" // how long a step takes
	Crew HolderKind = "crew" // how many crews a trade has
	Word HolderKind = "word" // the latest word on when something comes
	Pin  HolderKind = "pin"  // a day that somebody fixed
)

// Holder is something on the chains behind a step's day that could give way.
type Holder struct {
	Kind  HolderKind   `json:"kind"`
	Step  scheduler.ID `json:"step"`            // whose work, word or pin it is, or which waits for a crew
	Trade scheduler.ID `json:"trade,omitempty"` // whose crew
	Only  bool         `json:"only"`            // every chain goes through that step
}

// Holders is what could give way for a step to be earlier: all that stands on any
// chain of things that hold one another without a gap, from the step back to what
// nothing else holds. What every chain goes through comes first, then what is near.
// Without any of these giving way the step stays where it is; whether one is enough,
// only planning anew with it changed can say. It is scheduler.ErrNotFound for a step
// that the plan does not have.
func Holders(plan *scheduler.Plan, step scheduler.ID) ([]Holder, error) {
	c := chains{steps: make(map[scheduler.ID]*scheduler.PlannedStep, len(plan.Steps))}
	for k := range plan.Steps {
		c.steps[plan.Steps[k].ID] = &plan.Steps[k]
	}
	if c.steps[step] == nil {
		return nil, fmt.Errorf("what holds %q: %w", step, scheduler.ErrNotFound)
	}
	var all []Holder
	for _, id := range c.behind(step, "") {
		only := id == step || !c.escapes(step, id)
		for _, h := range c.at(id, id == step) {
			h.Only = only
			if !slices.Contains(all, h) {
				all = append(all, h)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Holder) int {
		switch {
		case a.Only == b.Only:
			return 0
		case a.Only:
			return -1
		default:
			return 1
		}
	})
	return all, nil
}

// chains is the steps of a plan by name, each with what holds it.
type chains struct {
	steps map[scheduler.ID]*scheduler.PlannedStep
}

// behind is the steps on any chain behind one, it included, the nearest first. One may
// be left out, and then so is what is reached through it alone.
func (c chains) behind(from, without scheduler.ID) []scheduler.ID {
	order := []scheduler.ID{from}
	seen := map[scheduler.ID]bool{from: true, without: true}
	for k := 0; k < len(order); k++ {
		for _, d := range c.steps[order[k]].Drivers {
			if d.Step != "" && !seen[d.Step] && c.steps[d.Step] != nil {
				seen[d.Step] = true
				order = append(order, d.Step)
			}
		}
	}
	return order
}

// escapes says whether a chain leads from a step to its end without going through
// another one.
func (c chains) escapes(from, around scheduler.ID) bool {
	return slices.ContainsFunc(c.behind(from, around), func(id scheduler.ID) bool {
		return !slices.ContainsFunc(c.steps[id].Drivers, func(d scheduler.Driver) bool { return d.Step != "" && d.Step != id })
	})
}

// at is what could give way at one step. The step that is asked about would not be
// earlier for taking less time.
func (c chains) at(id scheduler.ID, asked bool) []Holder {
	s := c.steps[id]
	if s.State == scheduler.Complete {
		return nil
	}
	var all []Holder
	if !asked && s.Rest > 0 {
		all = append(all, Holder{Kind: Work, Step: id})
	}
	for _, d := range s.Drivers {
		switch d.Kind {
		case scheduler.ByLimit:
			all = append(all, c.shared(s, c.steps[d.Step])...)
		case scheduler.ByExpected:
			all = append(all, Holder{Kind: Word, Step: id})
		case scheduler.ByPin:
			all = append(all, Holder{Kind: Pin, Step: id})
		}
	}
	return all
}

// shared is the trades that two steps have in common: more crews might let both run.
func (c chains) shared(s, first *scheduler.PlannedStep) (all []Holder) {
	if first == nil {
		return nil
	}
	for _, t := range s.Trades {
		if slices.Contains(first.Trades, t) {
			all = append(all, Holder{Kind: Crew, Step: s.ID, Trade: t})
		}
	}
	return all
}
