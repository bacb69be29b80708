package expand

import "gaugerod/scheduler"

// addJobWaits resolves the waits written outside typicals.
func (e *expansion) addJobWaits() {
	for k := range e.job.Waits {
		e.addWait(e.job.Waits[k], scope{}, "")
	}
}

// addTypicalWaits repeats each typical's waits at each of its places.
func (e *expansion) addTypicalWaits() {
	for k := range e.job.Typicals {
		t := &e.job.Typicals[k]
		for _, place := range t.Places {
			origin := orName(t.Title, t.ID) + " at " + e.placeTitle(place)
			for _, w := range t.Waits {
				e.addWait(w, scope{typical: t.ID, place: place}, origin)
			}
		}
	}
}

// addWait joins every step that the one end names with every step that the other
// names.
func (e *expansion) addWait(w scheduler.Wait, at scope, origin string) {
	if from, to, ok := e.twoSteps(&w, at); ok {
		if w.Origin == "" {
			w.Origin = origin
		}
		e.waits, e.ends = append(e.waits, w), append(e.ends, scheduler.Ends{From: from, To: to})
		return
	}
	e.fromBuf = e.resolve(e.fromBuf[:0], w.From.Step, at)
	e.toBuf = e.resolve(e.toBuf[:0], w.To.Step, at)
	from, to := e.fromBuf, e.toBuf
	if len(from) == 0 {
		e.unknown(w.From.Step, w.Pos)
	}
	if len(to) == 0 {
		e.unknown(w.To.Step, w.Pos)
	}
	if w.Origin == "" {
		w.Origin = origin
	}
	if w.Origin == "" {
		w.Origin = e.everyOrigin(w.From.Step, w.To.Step)
	}
	for _, f := range from {
		for _, t := range to {
			w.From.Step, w.To.Step = f, t
			e.join(w)
		}
	}
}

// twoSteps is the steps that a wait joins if both its names are names of steps where
// they are written, as most are outside typicals.
func (e *expansion) twoSteps(w *scheduler.Wait, at scope) (from, to int32, ok bool) {
	if at != (scope{}) {
		return 0, 0, false
	}
	f, okFrom := e.net.Find(w.From.Step)
	t, okTo := e.net.Find(w.To.Step)
	return int32(f), int32(t), okFrom && okTo
}

// join adds a wait between two steps.
func (e *expansion) join(w scheduler.Wait) {
	e.waits, e.ends = append(e.waits, w), append(e.ends, e.net.EndsOf(&w))
}

// everyOrigin says which name of a wait stands for every instance of a typical's
// step: "every Set the window of One window opening". It is empty where each name
// is one step.
func (e *expansion) everyOrigin(names ...scheduler.ID) string {
	origin := ""
	for _, name := range names {
		all := e.every[name]
		if _, one := e.net.Find(name); one || len(all) == 0 {
			continue
		}
		if origin != "" {
			origin += ", "
		}
		origin += "every " + e.localTitle(all[0])
	}
	return origin
}

// localTitle is the title of an instance's step within its typical.
func (e *expansion) localTitle(instance scheduler.ID) string {
	s := e.at(instance)
	for k := range e.job.Typicals {
		t := &e.job.Typicals[k]
		if t.ID != s.Typical {
			continue
		}
		of := " of " + orName(t.Title, t.ID)
		for i := range t.Tasks {
			if t.Tasks[i].ID == s.Local {
				return orName(t.Tasks[i].Title, s.Local) + of
			}
		}
		for i := range t.Holds {
			if t.Holds[i].ID == s.Local {
				return orName(t.Holds[i].Title, s.Local) + of
			}
		}
	}
	return string(s.Local)
}

// addOrderWaits chains each order's stages up to its delivery, one after the other.
func (e *expansion) addOrderWaits() {
	for k := range e.job.Orders {
		o := &e.job.Orders[k]
		origin := "order " + orName(o.Title, o.ID)
		for i := range o.Stages {
			next, pos := o.DeliveryStep(), o.Pos
			if i+1 < len(o.Stages) {
				next, pos = o.ID+"."+o.Stages[i+1].ID, o.Stages[i+1].Pos
			}
			e.join(scheduler.Wait{
				From:   scheduler.Point{Step: o.ID + "." + o.Stages[i].ID, End: scheduler.Finish},
				To:     scheduler.Point{Step: next, End: scheduler.Start},
				Reason: scheduler.Sense, Origin: origin, Pos: pos,
			})
		}
	}
}
