package web

import (
	"cmp"
	"slices"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// stand is how far a build-up has come at one of its places.
type stand struct {
	place  scheduler.ID
	states []draw.LayerState
}

// key tells stands apart.
func (s *stand) key() string {
	key := make([]byte, len(s.states))
	for k, state := range s.states {
		key[k] = byte('0' + state)
	}
	return string(key)
}

// laid is how many layers are there.
func (s *stand) laid() int {
	n := 0
	for _, state := range s.states {
		if state >= draw.Bare {
			n++
		}
	}
	return n
}

func (s *stand) has(state draw.LayerState) bool { return slices.Contains(s.states, state) }

// layerView is a board with what the layers need.
type layerView struct {
	*board
	week    week
	planned map[layerPlace]*scheduler.PlannedCover
	seen    map[layerPlace][]scheduler.ID // the holds that must see a layer
	hatches map[string]int                // by material
}

// layerPlace is one layer at one place.
type layerPlace struct{ buildUp, place, layer scheduler.ID }

func (b *board) layerView() *layerView {
	v := &layerView{
		board: b, week: b.weekOf(b.AsOf), planned: make(map[layerPlace]*scheduler.PlannedCover, len(b.Plan.Covers)),
		seen: map[layerPlace][]scheduler.ID{}, hatches: map[string]int{},
	}
	for k := range b.Plan.Covers {
		c := &b.Plan.Covers[k]
		v.planned[layerPlace{c.BuildUp, c.Place, c.Layer}] = c
	}
	for k := range b.Network.Covers {
		if c := &b.Network.Covers[k]; len(c.Seen) > 0 {
			v.seen[layerPlace{c.BuildUp, c.Place, c.Layer}] = c.Seen
		}
	}
	return v
}

func (v *layerView) cover(u *scheduler.BuildUp, place scheduler.ID, l *scheduler.Layer) *scheduler.PlannedCover {
	return v.planned[layerPlace{u.ID, place, l.ID}]
}

func (v *layerView) holdsOf(u *scheduler.BuildUp, place scheduler.ID, l *scheduler.Layer) []scheduler.ID {
	return v.seen[layerPlace{u.ID, place, l.ID}]
}

// hatchOfLayer is the hatching of a layer's material; what has none goes by its name.
func (v *layerView) hatchOfLayer(l *scheduler.Layer) int {
	name := strings.ToLower(cmp.Or(l.Material, l.Title))
	n, known := v.hatches[name]
	if !known {
		n = len(v.hatches)*7 + 3 // neighbours look unlike each other
		v.hatches[name] = n
	}
	return n
}

func (v *layerView) used() []int {
	var all []int
	for _, n := range v.hatches {
		all = append(all, n)
	}
	slices.Sort(all)
	return all
}

// stands is how far a build-up has come at each of its places.
func (v *layerView) stands(u *scheduler.BuildUp) []stand {
	all := make([]stand, len(u.Places))
	for k, place := range u.Places {
		all[k] = stand{place: place, states: make([]draw.LayerState, len(u.Layers))}
		for l := range u.Layers {
			all[k].states[l] = v.state(u, place, l)
		}
	}
	return all
}

// laidBy is the step that lays a layer at a place: a task, or the place's own
// instance of a typical's.
func (b *board) laidBy(by, place scheduler.ID) scheduler.ID {
	local := by
	if k := strings.LastIndexByte(string(by), '.'); k >= 0 {
		local = by[k+1:]
	}
	for _, id := range []scheduler.ID{place + "." + local, by} {
		if b.steps[id] != nil {
			return id
		}
	}
	return ""
}

func (v *layerView) state(u *scheduler.BuildUp, place scheduler.ID, k int) draw.LayerState {
	s := v.steps[v.laidBy(u.Layers[k].By, place)]
	switch {
	case s == nil:
		return draw.ToCome
	case !begun(s) && (s.State == scheduler.Ready || len(v.unmet(s)) == 0):
		return draw.Next
	case !begun(s):
		return draw.ToCome
	}
	c := v.cover(u, place, &u.Layers[k])
	if c == nil {
		if k+1 < len(u.Layers) && s.State == scheduler.Complete && v.laidBy(u.Layers[k+1].By, place) == s.ID {
			return draw.Covered // one step lays both
		}
		return laidOr(s)
	}
	by := v.steps[c.CoveredBy]
	switch {
	case by != nil && begun(by) && len(c.Unseen) > 0:
		return draw.CoveredUnseen
	case by != nil && by.State == scheduler.Complete:
		return draw.Covered
	case s.State == scheduler.Complete && by != nil && (begun(by) || v.week.hasTime(by.Start)):
		return draw.Covering
	}
	return laidOr(s)
}

// laidOr is the state of a layer with nothing over it.
func laidOr(s *scheduler.PlannedStep) draw.LayerState {
	if s.State == scheduler.Complete {
		return draw.Bare
	}
	return draw.Laying
}

// chosenStand is the place that is drawn: the one asked for, else one with a layer
// that was covered unseen, else one where work can go on, else the first.
func chosenStand(all []stand, at scheduler.ID) stand {
	for _, fits := range []func(*stand) bool{
		func(s *stand) bool { return s.place == at },
		func(s *stand) bool { return s.has(draw.CoveredUnseen) },
		func(s *stand) bool { return s.has(draw.Laying) || s.has(draw.Covering) },
		func(s *stand) bool { return s.has(draw.Next) },
	} {
		for k := range all {
			if fits(&all[k]) {
				return all[k]
			}
		}
	}
	return all[0]
}

// usualStand is how more than half of the places stand, empty where no more than half
// stand alike.
func usualStand(all []stand) string {
	count := map[string]int{}
	for k := range all {
		key := all[k].key()
		if count[key]++; count[key]*2 > len(all) {
			return key
		}
	}
	return ""
}

// oddFirst puts the places that stand otherwise than most before the others.
func oddFirst(all []stand, usual string) []stand {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(x, y stand) int {
		return cmp.Compare(rank(x.key() == usual), rank(y.key() == usual))
	})
	return sorted
}

func rank(later bool) int {
	if later {
		return 1
	}
	return 0
}
