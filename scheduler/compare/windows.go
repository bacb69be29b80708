package compare

import "gaugerod/scheduler"

// claim is one step of a trade in one place.
type claim struct{ trade, place, step scheduler.ID }

// windows are those of the earlier plan that have moved or are gone, in its order,
// and then what is new. Where the later plan has run two windows together or has
// parted one, each window of the earlier plan is asked for by its own steps
// (scheduler.StandingOf); of the later plan's windows only the steps that no window
// had before are new.
func windows(before, after *scheduler.Plan) []WindowMove {
	find := finder(after)
	had := make(map[claim]bool)
	out := make([]WindowMove, 0)
	for k := range before.Windows {
		w := &before.Windows[k]
		for _, id := range w.Steps {
			had[claim{w.Trade, w.Place, id}] = true
		}
		from, until := w.Days()
		s := scheduler.StandingOf(find, w.Trade, w.Place, w.Steps)
		if !s.Moved(from, until) {
			continue
		}
		c := WindowMove{Window: w.ID, Trade: w.Trade, Place: w.Place, Steps: w.Steps, Change: Moved, Was: &Stretch{from, until}, Begun: s.Begun}
		if s.Gone {
			c.Change = Gone
		} else {
			c.Is = &Stretch{s.From, s.Until}
		}
		out = append(out, c)
	}
	for k := range after.Windows {
		w := &after.Windows[k]
		var fresh []scheduler.ID
		for _, id := range w.Steps {
			if !had[claim{w.Trade, w.Place, id}] {
				fresh = append(fresh, id)
			}
		}
		if len(fresh) == 0 {
			continue
		}
		from, until := w.Days()
		if len(fresh) < len(w.Steps) {
			s := scheduler.StandingOf(find, w.Trade, w.Place, fresh)
			from, until = s.From, s.Until
		}
		out = append(out, WindowMove{Window: w.ID, Trade: w.Trade, Place: w.Place, Steps: fresh, Change: New, Is: &Stretch{from, until}})
	}
	return out
}

// finder finds the planned step of a name.
func finder(p *scheduler.Plan) func(scheduler.ID) *scheduler.PlannedStep {
	at := make(map[scheduler.ID]*scheduler.PlannedStep, len(p.Steps))
	for k := range p.Steps {
		at[p.Steps[k].ID] = &p.Steps[k]
	}
	return func(id scheduler.ID) *scheduler.PlannedStep { return at[id] }
}
