package randomjob

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// buildUps puts some tasks into layers, in the order in which they were drawn.
func (g *maker) buildUps() {
	if !g.has(BuildUps) {
		return
	}
	for k := range 1 + g.size.Steps/40 {
		if len(g.job.Typicals) > 0 && g.chance(40) {
			g.typicalBuildUp(name("skin", k), pick(g, g.job.Typicals))
			continue
		}
		g.taskBuildUp(name("skin", k))
	}
}

// taskBuildUp is layers put on by tasks of the job, now and then two by the same.
func (g *maker) taskBuildUp(id scheduler.ID) {
	place := pick(g, g.placeIDs())
	var by []int
	for k := range g.nodes {
		n := &g.nodes[k]
		if n.kind == scheduler.TaskStep && g.groupOf(n.id) == "" && g.works(n.places, place) {
			by = append(by, k)
		}
	}
	if len(by) > 1 {
		by = some(g, by, 4)
	}
	if len(by) < 2 {
		return
	}
	b := scheduler.BuildUp{ID: id, Title: "Build-up " + string(id), Outward: "inside to outside", Places: []scheduler.ID{place}}
	for i, k := range by {
		l := g.layer(len(b.Layers), g.nodes[k].id)
		if i+1 < len(by) {
			l.Seen = g.seenBetween(k, by[i+1])
		}
		b.Layers = append(b.Layers, l)
		if g.chance(10) {
			b.Layers = append(b.Layers, g.layer(len(b.Layers), g.nodes[k].id))
		}
	}
	bareOutside(&b)
	for i := 1; i < len(b.Layers); i++ {
		last, next := &b.Layers[i-1], &b.Layers[i]
		if last.By == next.By {
			last.Cure, last.Seen = worktime.Span{}, nil
			continue
		}
		g.join(last.By, next.By, last.Cure)
		for _, h := range last.Seen {
			g.join(h, next.By, worktime.Span{})
		}
	}
	g.job.BuildUps = append(g.job.BuildUps, b)
}

// bareOutside takes from the last layer what acts on a layer that covers it.
func bareOutside(b *scheduler.BuildUp) {
	outmost := &b.Layers[len(b.Layers)-1]
	outmost.Cure, outmost.Seen = worktime.Span{}, nil
}

// works says whether work in some places, or in none, can be at a place.
func (g *maker) works(places []scheduler.ID, at scheduler.ID) bool {
	return len(places) == 0 || slices.ContainsFunc(places, func(p scheduler.ID) bool { return g.within(p, at) || g.within(at, p) })
}

func (g *maker) layer(k int, by scheduler.ID) scheduler.Layer {
	l := scheduler.Layer{
		ID: name("layer", k), Title: "Layer " + string(name("layer", k)), Material: "stuff", Thickness: g.between(1, 200), By: by,
	}
	if g.chance(40) {
		l.Cure, l.Source = span(g.between(1, 10), worktime.Hours), "invented for a test"
		if g.has(Elapsed) && g.chance(50) {
			l.Cure = g.real()
		}
	}
	return l
}

// seenBetween is perhaps a hold drawn between two tasks.
func (g *maker) seenBetween(from, to int) []scheduler.ID {
	if !g.chance(60) {
		return nil
	}
	for k := from + 1; k < to; k++ {
		n := &g.nodes[k]
		if n.kind == scheduler.HoldStep && n.order == "" && g.groupOf(n.id) == "" {
			return []scheduler.ID{n.id}
		}
	}
	return nil
}

// typicalBuildUp is layers put on by the tasks of a typical, at its places.
func (g *maker) typicalBuildUp(id scheduler.ID, ty scheduler.Typical) {
	elsewhere := func(t scheduler.Task) bool { return len(t.Places) > 0 }
	if len(ty.Tasks) < 2 || slices.ContainsFunc(ty.Tasks, elsewhere) {
		return
	}
	b := scheduler.BuildUp{ID: id, Title: "Build-up " + string(id), Outward: "bottom to top", Places: slices.Clone(ty.Places)}
	for k, t := range ty.Tasks {
		b.Layers = append(b.Layers, g.layer(k, ty.ID+"."+t.ID))
		if k > 0 {
			for _, place := range ty.Places {
				g.join(place+"."+ty.Tasks[k-1].ID, place+"."+t.ID, b.Layers[k-1].Cure)
			}
		}
	}
	bareOutside(&b)
	g.job.BuildUps = append(g.job.BuildUps, b)
}
