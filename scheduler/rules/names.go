package rules

import (
	"fmt"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var zeroPos scheduler.Pos

func quoted(id scheduler.ID) string { return fmt.Sprintf("%q", string(id)) }

// named is what a name of a step stands for: one step, or every instance of a
// typical's step.
type named struct {
	kind    scheduler.StepKind
	hold    scheduler.HoldKind // holds
	takes   worktime.Span
	places  []scheduler.ID
	every   *scheduler.Typical // "typical.local": repeated at its places
	place   scheduler.ID       // "place.local": the instance there
	typical scheduler.ID       // of an instance and of every instance
	local   scheduler.ID
	pos     scheduler.Pos
}

// count is how many steps the name stands for.
func (n *named) count() int {
	if n.every != nil {
		return len(n.every.Places)
	}
	return 1
}

// group is the same for a name that stands for every instance and for each of them.
func (n *named) group(name scheduler.ID) scheduler.ID {
	if n.typical != "" {
		return n.typical + "." + n.local
	}
	return name
}

// names is every name that a step may be called by.
type names struct {
	at   map[scheduler.ID]*named
	list []scheduler.ID // in the order of the job
}

// nameSteps gathers every name of a step, also those that expansion makes, and
// finds names that mean two things. It is false where the job is too large to go on.
func (c *checker) nameSteps() bool {
	c.names = names{at: map[scheduler.ID]*named{}}
	if !c.fits() {
		return false
	}
	for k := range c.job.Tasks {
		t := &c.job.Tasks[k]
		c.checkID(about("task", t.ID, t.Pos), t.ID)
		c.name(t.ID, taskNamed(t))
	}
	for k := range c.job.Holds {
		h := &c.job.Holds[k]
		c.checkID(about("hold", h.ID, h.Pos), h.ID)
		c.name(h.ID, holdNamed(h))
	}
	for k := range c.job.Orders {
		if o := &c.job.Orders[k]; c.orders.at[o.ID] == k { // the first of its name
			c.nameOrder(o)
		}
	}
	for k := range c.job.Typicals {
		c.nameTypical(&c.job.Typicals[k])
	}
	return true
}

// fits guards against typicals that repeat too much.
func (c *checker) fits() bool {
	total := len(c.job.Tasks) + len(c.job.Holds)
	for k := range c.job.Typicals {
		t := &c.job.Typicals[k]
		total += (len(t.Tasks) + len(t.Holds)) * len(t.Places)
		if total > MaxSteps {
			c.fault(about("typical", t.ID, t.Pos), "places", "", fmt.Sprintf("brings the job to %d steps", total),
				fmt.Sprintf("keep the job under %d steps", MaxSteps))
			return false
		}
	}
	for k := range c.job.BuildUps {
		b := &c.job.BuildUps[k]
		if total = len(b.Layers) * len(b.Places); total > MaxSteps {
			c.fault(about("build-up", b.ID, b.Pos), "places", "", fmt.Sprintf("has %d layers in all its places", total),
				fmt.Sprintf("keep it under %d", MaxSteps))
			return false
		}
	}
	return true
}

func taskNamed(t *scheduler.Task) *named {
	return &named{kind: scheduler.TaskStep, takes: t.Takes, places: t.Places, pos: t.Pos}
}

func holdNamed(h *scheduler.Hold) *named {
	return &named{kind: scheduler.HoldStep, hold: h.Kind, takes: h.Takes, places: h.Places, pos: h.Pos}
}

func (c *checker) nameOrder(o *scheduler.Order) {
	for k := range o.Stages {
		g := &o.Stages[k]
		if g.ID != scheduler.DeliveryStage { // said of the order itself
			c.name(o.ID+"."+g.ID, &named{kind: scheduler.StageStep, takes: g.Takes, pos: g.Pos})
		}
	}
	c.name(o.DeliveryStep(), &named{kind: scheduler.HoldStep, hold: scheduler.Delivery, takes: o.Unload, places: o.Places, pos: o.Pos})
}

func (c *checker) nameTypical(t *scheduler.Typical) {
	add := func(local scheduler.ID, n *named) {
		n.typical, n.local = t.ID, local
		for _, p := range t.Places {
			instance := *n
			instance.place = p
			if len(n.places) == 0 {
				instance.places = []scheduler.ID{p}
			}
			c.name(p+"."+local, &instance)
		}
		n.every = t
		c.name(t.ID+"."+local, n)
	}
	for k := range t.Tasks {
		add(t.Tasks[k].ID, taskNamed(&t.Tasks[k]))
	}
	for k := range t.Holds {
		add(t.Holds[k].ID, holdNamed(&t.Holds[k]))
	}
}

// name gives a step its name, once.
func (c *checker) name(id scheduler.ID, n *named) {
	first, taken := c.names.at[id]
	if !taken {
		c.names.at[id] = n
		c.names.list = append(c.names.list, id)
		return
	}
	if n.typical != "" && n.typical == first.typical && n.place == first.place {
		return // twice within one typical, which says so itself, or at a place named twice
	}
	what := "makes a step called " + quoted(id) + ", which is there already" + madeBy(first)
	c.fault(subject{n.pos, n.self(id)}, "", string(id), what, "give one of them another name")
}

// self is what a step calls itself when its name is taken.
func (n *named) self(id scheduler.ID) string {
	switch {
	case n.typical != "":
		return fmt.Sprintf("step %q of typical %q", n.local, n.typical)
	case strings.Contains(string(id), "."):
		return fmt.Sprintf("order step %q", id)
	}
	return fmt.Sprintf("%s %q", n.kind, id)
}

func madeBy(n *named) string {
	if n.typical != "" {
		return fmt.Sprintf(" (made by typical %q)", n.typical)
	}
	return fmt.Sprintf(" (a %s)", n.kind)
}

// resolve finds what a name stands for where it is written: within a typical its
// own local names come first, and "typical.local" of a typical repeated at the
// same places means the instance there. A name that nothing has is a fault.
func (c *checker) resolve(s subject, field string, id scheduler.ID, within *scheduler.Typical) (*named, bool) {
	if id == "" {
		c.fault(s, field, "", "does not say which step under "+quoted(scheduler.ID(field)), "name a task, a hold, an order's stage or a step of a typical")
		return nil, false
	}
	if within != nil {
		if n, ok := c.names.at[within.ID+"."+id]; ok && n.every == within {
			return n, true
		}
	}
	if n, ok := c.names.at[id]; ok {
		return n, true
	}
	c.faultUnknownStep(s, field, id, within)
	return nil, false
}

// faultUnknownStep tells what a name that is no step's may have been meant for.
func (c *checker) faultUnknownStep(s subject, field string, id scheduler.ID, within *scheduler.Typical) {
	whole := func(what string, step scheduler.ID) {
		c.fault(s, field, string(id), fmt.Sprintf("names the %s %q where a step is needed", what, id), fmt.Sprintf("name one of its steps, for instance %q", step))
	}
	if k, ok := c.orders.at[id]; ok {
		whole("order", c.job.Orders[k].DeliveryStep())
		return
	}
	if k, ok := c.typicals.at[id]; ok {
		if steps := locals(&c.job.Typicals[k]); len(steps) > 0 {
			whole("typical", id+"."+steps[0])
			return
		}
	}
	var local []scheduler.ID
	if within != nil {
		local = locals(within)
	}
	c.fault(s, field, string(id), "names the step "+quoted(id)+", which is not there", c.meant(id,
		"name a task, a hold, an order's stage (order.stage) or a step of a typical (place.step or typical.step)", local, c.names.list))
}

// single resolves a name that must stand for one step.
func (c *checker) single(s subject, field string, id scheduler.ID) (*named, bool) {
	n, ok := c.resolve(s, field, id, nil)
	if !ok || n.count() == 1 {
		return n, ok
	}
	mend := "name one of them"
	if n.count() > 0 {
		mend = fmt.Sprintf("name one of them, for instance %q", n.every.Places[0]+"."+n.local)
	}
	c.fault(s, field, string(id), fmt.Sprintf("names %d steps with %q where one is needed", n.count(), id), mend)
	return nil, false
}
