package randomjob

import (
	"slices"

	"gaugerod/scheduler"
)

// occupations hold a place, perhaps alone, and gear, each from one task to a
// later one that waits for it. What they take is added to what there is, and all
// that may have to come between is admitted, so that they cannot lock the job.
func (g *maker) occupations() {
	if !g.has(Occupations) {
		return
	}
	if from, to, ok := g.pair(); ok && g.chance(70) && len(g.nodes[from].places) > 0 {
		g.occupyPlace(from, to)
	}
	if from, to, ok := g.pair(); ok && len(g.job.Gear) > 0 && g.chance(60) {
		gear := &g.job.Gear[g.rng.IntN(len(g.job.Gear))]
		gear.Count++
		g.job.Occupations = append(g.job.Occupations, scheduler.Occupation{
			ID: "gear-kept", Title: "Gear kept", Gear: gear.ID, From: g.nodes[from].id, To: g.nodes[to].id,
		})
	}
}

// pair is two tasks of which the later waits for the earlier.
func (g *maker) pair() (from, to int, ok bool) {
	var fit []edge
	for _, e := range g.edges {
		if g.nodes[e.from].kind == scheduler.TaskStep && g.nodes[e.to].kind == scheduler.TaskStep {
			fit = append(fit, e)
		}
	}
	if len(fit) == 0 {
		return 0, 0, false
	}
	e := pick(g, fit)
	return e.from, e.to, true
}

func (g *maker) occupyPlace(from, to int) {
	place := pick(g, g.nodes[from].places)
	o := scheduler.Occupation{
		ID: "place-kept", Title: "Place kept", Place: place, From: g.nodes[from].id, To: g.nodes[to].id, Alone: g.chance(50),
	}
	for k := from; k <= to; k++ {
		if slices.ContainsFunc(g.nodes[k].places, func(p scheduler.ID) bool { return g.within(p, place) || g.within(place, p) }) {
			o.Admits = append(o.Admits, g.nodes[k].id)
		}
	}
	for k := range g.job.Places {
		if p := &g.job.Places[k]; p.Room > 0 && g.within(place, p.ID) {
			p.Room++
		}
	}
	g.job.Occupations = append(g.job.Occupations, o)
}

// within says whether a place is another one or below it.
func (g *maker) within(place, around scheduler.ID) bool {
	for place != "" {
		if place == around {
			return true
		}
		k := slices.IndexFunc(g.job.Places, func(p scheduler.Place) bool { return p.ID == place })
		place = g.job.Places[k].Within
	}
	return false
}
