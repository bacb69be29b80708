package rules

import (
	"gaugerod/scheduler"
)

func (c *checker) checkTypicals() {
	for k := range c.job.Typicals {
		t := &c.job.Typicals[k]
		s := about("typical", t.ID, t.Pos)
		c.title(s, "title", t.Title)
		c.somePlaces(s, t.Places, "repeated")
		if len(t.Tasks)+len(t.Holds) == 0 {
			c.fault(s, "tasks", "", "has no tasks and no holds to repeat", "write them under tasks and holds")
		}
		c.checkLocals(t)
		for k := range t.Waits {
			c.checkWait(&t.Waits[k], t)
		}
		c.checkWaitsTwice(t.Waits)
	}
}

// somePlaces checks places of which there must be one at least.
func (c *checker) somePlaces(s subject, places []scheduler.ID, what string) {
	if len(places) == 0 {
		c.fault(s, "places", "", "has no place where it is "+what, "name one place at least under places")
	}
	c.knownEach(s, "places", places, &c.places)
}

func (c *checker) checkLocals(t *scheduler.Typical) {
	seen := map[scheduler.ID]bool{}
	local := func(what string, id scheduler.ID, pos scheduler.Pos) subject {
		s := subject{pos, called(what, id) + " of " + called("typical", t.ID)}
		c.checkID(s, id)
		if seen[id] {
			c.fault(s, "", string(id), "is there twice in it", "give one of them another name")
		}
		seen[id] = true
		return s
	}
	for k := range t.Tasks {
		task := &t.Tasks[k]
		s := local("task", task.ID, task.Pos)
		c.title(s, "title", task.Title)
		c.text(s, "note", task.Note)
		c.checkSpread(s, task.Takes, task.Spread)
		c.checkLocalWork(s, &task.Work, t)
	}
	for k := range t.Holds {
		h := &t.Holds[k]
		s := local("hold", h.ID, h.Pos)
		c.checkHold(s, h)
		c.checkLocalWork(s, &h.Work, t)
	}
}

// checkLocalWork checks the work of a typical's step at each place where it is
// repeated: its own places or, without any, the typical's one by one.
func (c *checker) checkLocalWork(s subject, w *scheduler.Work, t *scheduler.Typical) {
	if len(w.Places) > 0 || len(t.Places) == 0 {
		c.checkWork(s, w, w.Places)
		return
	}
	c.checkWork(s, w, t.Places[:1])
	faults := len(c.faults)
	for k := 1; k < len(t.Places) && len(c.faults) == faults; k++ {
		c.checkEverWorks(s, w, t.Places[k:k+1])
	}
}

// locals is the names of a typical's own steps.
func locals(t *scheduler.Typical) []scheduler.ID {
	var ids []scheduler.ID
	for k := range t.Tasks {
		ids = append(ids, t.Tasks[k].ID)
	}
	for k := range t.Holds {
		ids = append(ids, t.Holds[k].ID)
	}
	return ids
}
