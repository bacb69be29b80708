package rules

import (
	"fmt"

	"gaugerod/scheduler"
)

// side is one side of a wait: steps by the name under which they stand, or any of
// a typical's instances.
type side struct {
	name scheduler.ID
	any  bool
	end  scheduler.End
}

// links is every wait of the job by its two sides, so that a waiver finds its wait
// without going through them all.
type links struct {
	between map[[2]side]bool
	within  map[[2]side]bool // waits within one instance of a typical
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
		c.person(s, w.By, "waives it")
		c.day(s, "on", w.On)
		c.because(s, w.Reason)
	}
}

// checkWaived checks that there is a wait to waive.
func (c *checker) checkWaived(s subject, w *scheduler.Waiver, links *links) {
	from, fromKnown := c.resolve(s, "from", w.From.Step, nil)
	to, toKnown := c.resolve(s, "to", w.To.Step, nil)
	if !fromKnown || !toKnown {
		return
	}
	if links.have(w, from, to) {
		return
	}
	mend := "name the two ends of a wait as it is written, or leave the waiver out"
	for _, ends := range [][2]scheduler.End{{scheduler.Finish, scheduler.Start}, {scheduler.Start, scheduler.Start}, {scheduler.Finish, scheduler.Finish}, {scheduler.Start, scheduler.Finish}} {
		other := scheduler.Waiver{From: scheduler.Point{Step: w.From.Step, End: ends[0]}, To: scheduler.Point{Step: w.To.Step, End: ends[1]}}
		if links.have(&other, from, to) {
			mend = fmt.Sprintf("there is one from the %s to the %s", other.From, other.To)
			break
		}
	}
	c.fault(s, "from", string(w.From.Step), "waives nothing: there is no such wait", mend)
}

// have says whether a waiver lifts any wait between the steps that it names.
func (l *links) have(w *scheduler.Waiver, from, to *named) bool {
	for _, f := range from.lookups(w.From) {
		for _, t := range to.lookups(w.To) {
			if l.between[[2]side{f, t}] {
				return true
			}
		}
	}
	together := from.every != nil || to.every != nil || from.place == to.place
	return together && l.within[[2]side{from.anyOf(w.From), to.anyOf(w.To)}]
}

// anyOf is the side that every wait of the step or of its like has.
func (n *named) anyOf(p scheduler.Point) side { return side{n.group(p.Step), true, p.End} }

// lookups are the sides of waits that concern the steps of a name: of one instance,
// those that name it and those that name every one; of every instance, all.
func (n *named) lookups(p scheduler.Point) []side {
	if n.every != nil {
		return []side{n.anyOf(p)}
	}
	return []side{{p.Step, false, p.End}, {n.group(p.Step), false, p.End}}
}

// links gathers the waits, written or made by orders and layers.
func (c *checker) links() *links {
	const each = 4 // by the full names of either end and by those of their like
	l := &links{between: make(map[[2]side]bool, each*len(c.job.Waits)), within: map[[2]side]bool{}}
	c.eachWait(func(from, to scheduler.Point, within *scheduler.Typical) {
		f, ok1 := c.find(from.Step, within)
		t, ok2 := c.find(to.Step, within)
		switch {
		case !ok1 || !ok2:
		case within != nil && f.every == within && t.every == within:
			l.within[[2]side{f.anyOf(from), t.anyOf(to)}] = true
		default:
			for _, a := range []side{f.exactly(from), f.anyOf(from)} {
				for _, b := range []side{t.exactly(to), t.anyOf(to)} {
					l.between[[2]side{a, b}] = true
				}
			}
		}
	})
	return l
}

// exactly is the side of a wait by its full name.
func (n *named) exactly(p scheduler.Point) side {
	if n.every != nil {
		return side{n.group(p.Step), false, p.End}
	}
	return side{p.Step, false, p.End}
}

// eachWait goes through every wait of the job, with the typical it is written in.
func (c *checker) eachWait(add func(from, to scheduler.Point, within *scheduler.Typical)) {
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
