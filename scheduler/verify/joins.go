package verify

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// join is one wait between two steps.
type join struct {
	from, to       *step
	fromEnd, toEnd scheduler.End
	least          worktime.Span
	most           *worktime.Span
	pos            scheduler.Pos
	waived         bool
	passed         bool // later word on a delivery has taken its place
	noLeast        bool // the plan set its least time aside
	noMost         bool // the plan set its most time aside
	plan           *scheduler.PlannedWait
}

func (c *checker) expandWaits() {
	for _, w := range c.job.Waits {
		c.addJoins(w, "", "")
	}
	for k := range c.job.Typicals {
		t := &c.job.Typicals[k]
		for _, place := range t.Places {
			for _, w := range t.Waits {
				c.addJoins(w, t.ID, place)
			}
		}
	}
	for k := range c.job.Orders {
		c.chainOrder(&c.job.Orders[k])
	}
}

func (c *checker) addJoins(w scheduler.Wait, typical, place scheduler.ID) {
	for _, from := range c.mean(w.From.Step, typical, place) {
		for _, to := range c.mean(w.To.Step, typical, place) {
			c.addJoin(&join{from: from, to: to, fromEnd: w.From.End, toEnd: w.To.End, least: w.Least, most: w.Most, pos: w.Pos})
		}
	}
}

// chainOrder joins an order's stages and its delivery finish to start.
func (c *checker) chainOrder(o *scheduler.Order) {
	for k := range o.Stages {
		next, pos := o.ID+".delivery", o.Pos
		if k+1 < len(o.Stages) {
			next, pos = o.ID+"."+o.Stages[k+1].ID, o.Stages[k+1].Pos
		}
		c.addJoin(&join{from: c.byID[o.ID+"."+o.Stages[k].ID], to: c.byID[next], fromEnd: scheduler.Finish, toEnd: scheduler.Start, pos: pos})
	}
}

func (c *checker) addJoin(j *join) {
	for _, w := range c.job.Waivers {
		if points(w.From, j.from, j.fromEnd) && points(w.To, j.to, j.toEnd) {
			j.waived = true
		}
	}
	if j.to.fact.Expected != nil && j.to.order != nil && j.to.order == j.from.order {
		j.passed = true
	}
	c.joins = append(c.joins, j)
}

func (j *join) acts() bool { return !j.waived && !j.passed }

// spanCal is the calendar on which a span between two steps counts.
func (c *checker) spanCal(s worktime.Span) *calendar {
	if s.Unit >= worktime.ElapsedMinutes {
		return c.cals.real
	}
	return c.cals.site
}

// layer is one layer at a place that is covered by the next.
type layer struct {
	buildUp  *scheduler.BuildUp
	place    scheduler.ID
	layer    *scheduler.Layer
	step, by *step // lays it, covers it
	seen     []*step
}

// expandLayers makes the waits, checks and limits of the build-ups.
func (c *checker) expandLayers() {
	for k := range c.job.BuildUps {
		b := &c.job.BuildUps[k]
		for _, place := range b.Places {
			for i := 0; i+1 < len(b.Layers); i++ {
				this, next := c.one(b.Layers[i].By, place), c.one(b.Layers[i+1].By, place)
				if this == nil || next == nil || this == next {
					continue
				}
				c.cover(&layer{buildUp: b, place: place, layer: &b.Layers[i], step: this, by: next})
			}
		}
	}
}

func (c *checker) cover(l *layer) {
	c.addJoin(&join{from: l.step, to: l.by, fromEnd: scheduler.Finish, toEnd: scheduler.Start, least: l.layer.Cure, pos: l.layer.Pos})
	for _, name := range l.layer.Seen {
		for _, hold := range c.mean(name, "", l.place) {
			l.seen = append(l.seen, hold)
			c.addJoin(&join{from: hold, to: l.by, fromEnd: scheduler.Finish, toEnd: scheduler.Start, pos: l.layer.Pos})
		}
	}
	if l.layer.Exposed != nil {
		c.addJoin(&join{from: l.step, to: l.by, fromEnd: scheduler.Start, toEnd: scheduler.Finish, most: l.layer.Exposed, pos: l.layer.Pos})
	}
	c.layers = append(c.layers, l)
}

// occupation is a place or gear held from one step's start to another's finish.
type occupation struct {
	*scheduler.Occupation
	from, to *step
	admits   map[*step]bool
}

func (c *checker) expandOccupations() {
	for k := range c.job.Occupations {
		o := &occupation{Occupation: &c.job.Occupations[k], admits: map[*step]bool{}}
		o.from, o.to = c.one(o.From, ""), c.one(o.To, "")
		if o.from == nil || o.to == nil {
			continue
		}
		for _, name := range o.Admits {
			for _, s := range c.mean(name, "", "") {
				o.admits[s] = true
			}
		}
		c.occupations = append(c.occupations, o)
	}
}
