package verify

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// step is one step as the checker expands it, and what the plan makes of it.
type step struct {
	scheduler.Work
	id             scheduler.ID
	kind           scheduler.StepKind
	hold           *scheduler.Hold
	order          *scheduler.Order
	stageBy        scheduler.ID
	typical, local scheduler.ID
	fact           scheduler.Fact
	length         minute // of the whole step
	cal            *calendar

	plan          *scheduler.PlannedStep
	start, finish minute // planned, or as recorded
	rest          minute // what is left as of
	resume        minute // start of the rest: start where nothing is recorded
}

func (s *step) done() bool { return s.fact.Done != nil || s.fact.Released != nil }

func (s *step) begun() bool { return s.fact.Started != nil && !s.done() }

// expand makes the steps, waits, layers and occupations of the job.
func (c *checker) expand() {
	c.byID = map[scheduler.ID]*step{}
	c.every = map[scheduler.ID][]*step{}
	for k := range c.job.Tasks {
		c.addTask(&c.job.Tasks[k], nil, "")
	}
	for k := range c.job.Holds {
		c.addHold(&c.job.Holds[k], nil, "")
	}
	for k := range c.job.Orders {
		c.addOrder(&c.job.Orders[k])
	}
	for k := range c.job.Typicals {
		t := &c.job.Typicals[k]
		for _, place := range t.Places {
			for i := range t.Tasks {
				c.addTask(&t.Tasks[i], t, place)
			}
			for i := range t.Holds {
				c.addHold(&t.Holds[i], t, place)
			}
		}
	}
	for _, f := range c.job.Facts {
		if s := c.one(f.Step, ""); s != nil {
			s.fact = f
		}
	}
	for _, s := range c.steps {
		if s.hold != nil && s.hold.Witness && s.done() { // somebody came: no notice need pass
			s.Takes, s.length = s.hold.Takes, c.minutes(s.hold.Takes)
		}
		s.cal = c.calendarOf(s)
	}
	c.expandWaits()
	c.expandLayers()
	c.expandOccupations()
}

func (c *checker) add(s *step, takes worktime.Span) {
	s.Takes = takes
	s.Crews = max(1, s.Crews)
	s.length = c.minutes(takes)
	c.steps = append(c.steps, s)
	c.byID[s.id] = s
}

// instance puts a typical's step at a place.
func (c *checker) instance(s *step, t *scheduler.Typical, place scheduler.ID) {
	if t == nil {
		return
	}
	s.typical, s.local = t.ID, s.id
	s.id = place + "." + s.local
	if len(s.Places) == 0 {
		s.Places = []scheduler.ID{place}
	}
	all := t.ID + "." + s.local
	c.every[all] = append(c.every[all], s)
}

func (c *checker) addTask(t *scheduler.Task, ty *scheduler.Typical, place scheduler.ID) {
	s := &step{id: t.ID, kind: scheduler.TaskStep, Work: t.Work}
	c.instance(s, ty, place)
	c.add(s, t.Takes)
}

// addHold adds a hold point. A witness point stands open when its notice has passed.
func (c *checker) addHold(h *scheduler.Hold, ty *scheduler.Typical, place scheduler.ID) {
	s := &step{id: h.ID, kind: scheduler.HoldStep, Work: h.Work, hold: h}
	c.instance(s, ty, place)
	takes := h.Takes
	if h.Witness {
		takes = h.Notice
	}
	c.add(s, takes)
}

func (c *checker) addOrder(o *scheduler.Order) {
	for k := range o.Stages {
		g := &o.Stages[k]
		c.add(&step{id: o.ID + "." + g.ID, kind: scheduler.StageStep, order: o, stageBy: g.By}, g.Takes)
	}
	s := &step{id: o.ID + ".delivery", kind: scheduler.HoldStep, order: o, hold: &scheduler.Hold{Kind: scheduler.Delivery, By: o.Receives}}
	s.Places, s.Gear = o.Places, o.Gear
	if c.tradeOf(o.Receives) != nil {
		s.Trades = []scheduler.ID{o.Receives}
	}
	c.add(s, o.Unload)
}

func (c *checker) tradeOf(id scheduler.ID) *scheduler.Trade {
	for k := range c.job.Trades {
		if c.job.Trades[k].ID == id {
			return &c.job.Trades[k]
		}
	}
	return nil
}

// elapsed says whether a step runs in real time.
func (s *step) elapsed() bool { return s.Takes.Unit >= worktime.ElapsedMinutes && s.length > 0 }
