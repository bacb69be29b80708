package rules

import (
	"fmt"
	"slices"

	"gaugerod/scheduler"
)

func (c *checker) checkBuildUps() {
	index(c, "build-up", "build-ups", c.job.BuildUps, func(b *scheduler.BuildUp) (scheduler.ID, scheduler.Pos) { return b.ID, b.Pos })
	for k := range c.job.BuildUps {
		b := &c.job.BuildUps[k]
		s := about("build-up", b.ID, b.Pos)
		c.title(s, "title", b.Title)
		c.line(s, "outward", b.Outward)
		c.somePlaces(s, b.Places, "built")
		if len(b.Layers) == 0 {
			c.fault(s, "layers", "", "has no layers", "write them under layers, each before the one that covers it")
		}
		seen := map[scheduler.ID]bool{}
		for k := range b.Layers {
			l := &b.Layers[k]
			s := subject{l.Pos, called("layer", l.ID) + " of " + called("build-up", b.ID)}
			c.checkID(s, l.ID)
			if seen[l.ID] {
				c.fault(s, "", string(l.ID), "is there twice in it", "give one of them another name")
			}
			seen[l.ID] = true
			c.checkLayer(s, l, b)
			if k == len(b.Layers)-1 {
				c.checkOutermost(s, l)
			}
		}
	}
}

func (c *checker) checkLayer(s subject, l *scheduler.Layer, b *scheduler.BuildUp) {
	c.title(s, "title", l.Title)
	c.line(s, "material", l.Material)
	c.line(s, "source", l.Source)
	if l.Thickness < 0 || l.Thickness > 10_000 {
		c.fault(s, "thickness", fmt.Sprint(l.Thickness), fmt.Sprintf("is %d mm thick", l.Thickness), "write millimetres, or leave thickness out")
	}
	c.checkLaidBy(s, l, b)
	c.checkSeen(s, l)
	c.span(s, "cure", l.Cure)
	if l.Exposed == nil {
		return
	}
	c.elapsed(s, "exposed", *l.Exposed)
	if l.Exposed.Zero() {
		c.fault(s, "exposed", l.Exposed.String(), "may not stay open at all", "write how long it may, for instance 90 elapsed days")
	}
	if l.Exposed.Elapsed() && l.Cure.Elapsed() && !l.Cure.Zero() && c.job.Minutes(l.Cure) >= c.job.Minutes(*l.Exposed) {
		c.fault(s, "exposed", l.Exposed.String(), fmt.Sprintf("cures for %s and may stay open for %s only", l.Cure, l.Exposed), "let it stay open longer than it cures")
	}
}

// checkLaidBy checks that a layer is put there by a task, at each place of its
// build-up by one that works there.
func (c *checker) checkLaidBy(s subject, l *scheduler.Layer, b *scheduler.BuildUp) {
	if l.By == "" {
		c.fault(s, "by", "", "is put on by no task", "name under by the task that puts it there")
		return
	}
	n, ok := c.resolve(s, "by", l.By, nil)
	if !ok {
		return
	}
	if n.kind != scheduler.TaskStep {
		c.fault(s, "by", string(l.By), fmt.Sprintf("is put on by %q, which is a %s and no task", l.By, n.kind), "name the task that puts it there")
		return
	}
	for _, place := range b.Places {
		if !c.places.has(place) {
			continue
		}
		at := n
		if n.every != nil {
			if at = c.instanceAt(n, place); at == nil {
				c.fault(s, "by", string(l.By), fmt.Sprintf("is put on at %q by %q, which is %d steps at other places", place, l.By, n.count()),
					"name the one step that puts it there, or build up at the places of the typical")
				return
			}
		}
		if len(at.places) > 0 && !slices.ContainsFunc(at.places, func(p scheduler.ID) bool { return c.related(p, place) }) {
			c.fault(s, "by", string(l.By), fmt.Sprintf("is put on at %q by %q, which works at %q", place, l.By, at.places[0]),
				"name a task that works there, or mend the places of the one or the other")
			return
		}
	}
}

// instanceAt is the instance of a typical's step that lays a layer at a place:
// the one there, or the only one there is. Nil: none can be told from the others.
func (c *checker) instanceAt(n *named, place scheduler.ID) *named {
	if at := c.names.at[place+"."+n.local]; at != nil && at.typical == n.typical {
		return at
	}
	if len(n.every.Places) != 1 {
		return nil
	}
	return c.names.at[n.every.Places[0]+"."+n.local]
}

func (c *checker) checkSeen(s subject, l *scheduler.Layer) {
	for id := range c.eachOnce(s, "seen", l.Seen) {
		if n, ok := c.resolve(s, "seen", id, nil); ok && n.kind != scheduler.HoldStep {
			c.fault(s, "seen", string(id), fmt.Sprintf("is to be seen at %q, which is a %s and no hold", id, n.kind), "name a hold point that somebody releases")
		}
	}
}

// checkOutermost finds limits on the last layer, where they would act on nothing.
func (c *checker) checkOutermost(s subject, l *scheduler.Layer) {
	const mend = "add the layer that covers it, or write this as a wait or a hold"
	switch {
	case l.Exposed != nil:
		c.fault(s, "exposed", l.Exposed.String(), "is the last one and has an exposure limit, though nothing covers it", mend)
	case len(l.Seen) > 0:
		c.fault(s, "seen", string(l.Seen[0]), "is the last one and is to be seen before cover, though nothing covers it", mend)
	case !l.Cure.Zero():
		c.fault(s, "cure", l.Cure.String(), "is the last one and cures before cover, though nothing covers it", mend)
	}
}
