package verify

import (
	"slices"

	"gaugerod/scheduler"
)

// WindowWrong is the rule about windows of access: each step of a trade in a place
// lies in one, whose days are those of its steps.
const WindowWrong Rule = "window"

type seat struct{ trade, place, step scheduler.ID }

// windows checks that each trade's work in each place lies in one window, and that
// a window's days fit its steps and each other.
func (c *checker) windows() {
	want := map[seat]bool{}
	for _, s := range c.steps {
		if s.done() || s.rest == 0 {
			continue
		}
		for _, t := range s.Trades {
			for _, p := range s.Places {
				want[seat{t, p, s.id}] = true
			}
		}
	}
	names := map[string]bool{}
	for k := range c.plan.Windows {
		w := &c.plan.Windows[k]
		if names[w.ID] {
			c.report(WindowWrong, w.Steps, "two windows are called %s", w.ID)
		}
		names[w.ID] = true
		known := len(w.Steps) > 0
		for _, id := range w.Steps {
			if at := (seat{w.Trade, w.Place, id}); !want[at] {
				known = false
				c.report(WindowWrong, []scheduler.ID{id}, "%s has nothing to do for %s at %s, or is in two of its windows", id, w.Trade, w.Place)
			} else {
				delete(want, at)
			}
		}
		if known {
			c.window(w)
		}
	}
	for _, s := range c.steps {
		for at := range want {
			if at.step == s.id {
				c.report(WindowWrong, ids(s), "%s is in no window of %s at %s", s.id, at.trade, at.place)
			}
		}
	}
}

func (c *checker) window(w *scheduler.Window) {
	early, from, until := never, never, -never
	var last []*step // those that are out last
	for _, id := range w.Steps {
		s := c.byID[id]
		from = min(from, s.start)
		if s.begun() {
			early = min(early, s.start)
		} else {
			early = min(early, minuteOf(s.plan.EarliestStart))
		}
		if s.finish > until {
			until, last = s.finish, nil
		}
		if s.finish == until {
			last = append(last, s)
		}
	}
	early = min(early, from) // planned before its earliest date is what a limit let off a most time
	if minuteOf(w.Earliest) != early || minuteOf(w.From) != from || minuteOf(w.Until) != until {
		c.report(WindowWrong, w.Steps, "window %s is from %s, or %s at the earliest, until %s, the plan says %s, %s and %s", w.ID, from.in(c.zone), early.in(c.zone),
			until.in(c.zone), minuteOf(w.From).in(c.zone), minuteOf(w.Earliest).in(c.zone), minuteOf(w.Until).in(c.zone))
	}
	others, due := minuteOf(w.OutForOthers), minuteOf(w.OutForDue)
	if others < until || !slices.ContainsFunc(last, func(s *step) bool {
		return max(until, minuteOf(s.plan.PlanFree)) == others && minuteOf(s.plan.PlanLatest) == due
	}) {
		c.report(WindowWrong, w.Steps, "window %s: out by %s for others and %s for the dues is not what its last step has", w.ID, others.in(c.zone), due.in(c.zone))
	}
	if t := c.tradeOf(w.Trade); minuteOf(w.TellBy) != c.spanBefore(from, t.Notice) {
		c.report(WindowWrong, w.Steps, "window %s: to be told %s before %s, the plan says %s", w.ID, t.Notice, from.in(c.zone), minuteOf(w.TellBy).in(c.zone))
	}
	c.neighbours(w)
}

// neighbours checks that the trades said to come before and after do.
func (c *checker) neighbours(w *scheduler.Window) {
	for _, t := range w.Before {
		if !slices.ContainsFunc(c.plan.Windows, func(o scheduler.Window) bool {
			return o.Place == w.Place && o.Trade == t && !o.Until.After(w.From)
		}) {
			c.report(WindowWrong, w.Steps, "window %s: %s is not done before it", w.ID, t)
		}
	}
	for _, t := range w.After {
		if !slices.ContainsFunc(c.plan.Windows, func(o scheduler.Window) bool {
			return o.Place == w.Place && o.Trade == t && !o.From.Before(w.Until)
		}) {
			c.report(WindowWrong, w.Steps, "window %s: %s does not follow it", w.ID, t)
		}
	}
}
