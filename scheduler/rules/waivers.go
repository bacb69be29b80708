package rules

import (
	"fmt"

	"gaugerod/scheduler"
)

// link is a wait between two groups of steps, where a group is one step or every
// instance of a typical's.
type link struct {
	from, to       scheduler.ID
	fromEnd, toEnd scheduler.End
}

// joined is the two ends of a wait as they were written.
type joined struct {
	from, to *named
	together bool // within one instance of a typical
}

func (c *checker) checkWaivers() {
	if len(c.job.Waivers) == 0 {
		return
	}
	links := c.links()
	seen := map[[2]scheduler.Point]bool{}
	for k := range c.job.Waivers {
		w := &c.job.Waivers[k]
		s := subject{w.Pos, fmt.Sprintf("waiver of the wait from the %s to the %s", w.From, w.To)}
		c.checkWaived(s, w, links)
		if ends := [2]scheduler.Point{w.From, w.To}; seen[ends] {
			c.fault(s, "", string(w.From.Step), "is there twice", "leave one of them out")
		} else {
			seen[ends] = true
		}
		c.person(s, "by", w.By, "waives it")
		c.day(s, "on", w.On)
		c.because(s, w.Reason)
	}
}

// checkWaived checks that there is a wait to waive.
func (c *checker) checkWaived(s subject, w *scheduler.Waiver, links map[link][]joined) {
	from, fromKnown := c.resolve(s, "from", w.From.Step, nil)
	to, toKnown := c.resolve(s, "to", w.To.Step, nil)
	if !fromKnown || !toKnown {
		return
	}
	is := link{from.group(w.From.Step), to.group(w.To.Step), w.From.End, w.To.End}
	for _, j := range links[is] {
		if j.covers(from, to) {
			return
		}
	}
	mend := "name the two ends of a wait as it is written, or leave the waiver out"
	for _, ends := range [][2]scheduler.End{{scheduler.Finish, scheduler.Start}, {scheduler.Start, scheduler.Start}, {scheduler.Finish, scheduler.Finish}, {scheduler.Start, scheduler.Finish}} {
		if _, other := links[link{is.from, is.to, ends[0], ends[1]}]; other {
			mend = fmt.Sprintf("there is one from the %s to the %s", scheduler.Point{Step: w.From.Step, End: ends[0]}, scheduler.Point{Step: w.To.Step, End: ends[1]})
			break
		}
	}
	c.fault(s, "from", string(w.From.Step), "waives nothing: there is no such wait", mend)
}

// covers says whether the wait joins any of the steps that a waiver names.
func (j *joined) covers(from, to *named) bool {
	meets := func(a, b *named) bool { return a.every != nil || b.every != nil || a.place == b.place }
	if !meets(j.from, from) || !meets(j.to, to) {
		return false
	}
	return !j.together || from.every != nil || to.every != nil || from.place == to.place
}

// links is every wait of the job, written or made by orders and layers, by what it joins.
func (c *checker) links() map[link][]joined {
	all := map[link][]joined{}
	add := func(from, to scheduler.Point, within *scheduler.Typical) {
		f, ok1 := c.find(from.Step, within)
		t, ok2 := c.find(to.Step, within)
		if !ok1 || !ok2 {
			return
		}
		is := link{f.group(from.Step), t.group(to.Step), from.End, to.End}
		all[is] = append(all[is], joined{from: f, to: t, together: within != nil && f.every == within && t.every == within})
	}
	for k := range c.job.Waits {
		add(c.job.Waits[k].From, c.job.Waits[k].To, nil)
	}
	for k := range c.job.Typicals {
		t := &c.job.Typicals[k]
		for w := range t.Waits {
			add(t.Waits[w].From, t.Waits[w].To, t)
		}
	}
	for k := range c.job.Orders {
		eachOrderWait(&c.job.Orders[k], func(from, to scheduler.Point) { add(from, to, nil) })
	}
	for k := range c.job.BuildUps {
		eachLayerWait(&c.job.BuildUps[k], func(from, to scheduler.Point) { add(from, to, nil) })
	}
	return all
}

// find is resolve without faults.
func (c *checker) find(id scheduler.ID, within *scheduler.Typical) (*named, bool) {
	if within != nil {
		if n, ok := c.names.at[within.ID+"."+id]; ok && n.every == within {
			return n, true
		}
	}
	n, ok := c.names.at[id]
	return n, ok
}

func eachOrderWait(o *scheduler.Order, add func(from, to scheduler.Point)) {
	for k := range o.Stages {
		next := o.DeliveryStep()
		if k+1 < len(o.Stages) {
			next = o.ID + "." + o.Stages[k+1].ID
		}
		add(scheduler.Point{Step: o.ID + "." + o.Stages[k].ID, End: scheduler.Finish}, scheduler.Point{Step: next})
	}
}

func eachLayerWait(b *scheduler.BuildUp, add func(from, to scheduler.Point)) {
	for k := 0; k+1 < len(b.Layers); k++ {
		layer, next := &b.Layers[k], b.Layers[k+1].By
		add(scheduler.Point{Step: layer.By, End: scheduler.Finish}, scheduler.Point{Step: next})
		if layer.Exposed != nil {
			add(scheduler.Point{Step: layer.By}, scheduler.Point{Step: next, End: scheduler.Finish})
		}
		for _, hold := range layer.Seen {
			add(scheduler.Point{Step: hold, End: scheduler.Finish}, scheduler.Point{Step: next})
		}
	}
}
