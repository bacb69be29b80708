package expand

import "gaugerod/scheduler"

// addSteps makes every step, in the order of the file.
func (e *expansion) addSteps() {
	e.steps = make([]scheduler.Step, 0, countSteps(e.job))
	for k := range e.job.Tasks {
		e.steps = append(e.steps, taskStep(&e.job.Tasks[k]))
	}
	for k := range e.job.Holds {
		e.steps = append(e.steps, holdStep(&e.job.Holds[k]))
	}
	for k := range e.job.Orders {
		e.addOrder(&e.job.Orders[k])
	}
	for k := range e.job.Typicals {
		e.addTypical(&e.job.Typicals[k])
	}
}

func countSteps(job *scheduler.Job) int {
	n := len(job.Tasks) + len(job.Holds)
	for k := range job.Orders {
		n += len(job.Orders[k].Stages) + 1
	}
	for k := range job.Typicals {
		t := &job.Typicals[k]
		n += len(t.Places) * (len(t.Tasks) + len(t.Holds))
	}
	return n
}

func taskStep(t *scheduler.Task) scheduler.Step {
	s := scheduler.Step{
		ID: t.ID, Kind: scheduler.TaskStep, Title: orName(t.Title, t.ID),
		Work: t.Work, Spread: t.Spread, Note: t.Note, Pos: t.Pos,
	}
	s.Crews = max(s.Crews, 1)
	return s
}

func holdStep(h *scheduler.Hold) scheduler.Step {
	s := scheduler.Step{
		ID: h.ID, Kind: scheduler.HoldStep, Title: orName(h.Title, h.ID), Work: h.Work,
		HoldKind: h.Kind, Witness: h.Witness, By: h.By, Notice: h.Notice,
		Nominal: h.Nominal, Tolerance: h.Tolerance, Note: h.Note, Pos: h.Pos,
	}
	s.Crews = max(s.Crews, 1)
	return s
}

// addOrder makes a step of each stage, titled with the order's title, and the
// delivery in which the order ends.
func (e *expansion) addOrder(o *scheduler.Order) {
	title := orName(o.Title, o.ID)
	for k := range o.Stages {
		g := &o.Stages[k]
		e.steps = append(e.steps, scheduler.Step{
			ID: o.ID + "." + g.ID, Kind: scheduler.StageStep, Title: title + ": " + orName(g.Title, g.ID),
			Work: scheduler.Work{Takes: g.Takes, Crews: 1}, Spread: g.Spread, By: g.By, Order: o.ID, Pos: g.Pos,
		})
	}
	e.steps = append(e.steps, e.delivery(o, title))
}

// delivery is the hold point in which an order ends: whoever receives it releases
// it, and where that is a trade, one crew of it unloads.
func (e *expansion) delivery(o *scheduler.Order, title string) scheduler.Step {
	s := scheduler.Step{
		ID: o.DeliveryStep(), Kind: scheduler.HoldStep, HoldKind: scheduler.Delivery,
		Title: title + " delivered", By: o.Receives, Order: o.ID, Note: o.Note, Pos: o.Pos,
		Work: scheduler.Work{Crews: 1, Places: o.Places, Takes: o.Unload, Gear: o.Gear, Cautions: o.Cautions},
	}
	if e.isTrade(o.Receives) {
		s.Trades = []scheduler.ID{o.Receives}
	}
	return s
}

func (e *expansion) isTrade(id scheduler.ID) bool {
	for k := range e.job.Trades {
		if e.job.Trades[k].ID == id {
			return true
		}
	}
	return false
}

// addTypical repeats a typical at each of its places, tasks before holds. Work
// without a place of its own is in the place at which it repeats.
func (e *expansion) addTypical(t *scheduler.Typical) {
	for _, place := range t.Places {
		here := []scheduler.ID{place}
		for k := range t.Tasks {
			e.addInstance(taskStep(&t.Tasks[k]), t, place, here)
		}
		for k := range t.Holds {
			e.addInstance(holdStep(&t.Holds[k]), t, place, here)
		}
	}
}

func (e *expansion) addInstance(s scheduler.Step, t *scheduler.Typical, place scheduler.ID, here []scheduler.ID) {
	s.Typical, s.Local = t.ID, s.ID
	s.ID = place + "." + s.Local
	s.Title += " at " + e.placeTitle(place)
	if len(s.Places) == 0 {
		s.Places = here
	}
	e.steps = append(e.steps, s)
}
