package verify

import (
	"slices"
	"sort"

	"gaugerod/scheduler"
)

// The rules about what is scarce.
const (
	CrewsShort   Rule = "crews"     // a trade in more places than it has crews
	RoomShort    Rule = "room"      // more in a place than it has room for
	NotAlone     Rule = "not alone" // somebody is where another must be alone
	GearShort    Rule = "gear"      // more gear in use than there is
	OccupiedOver Rule = "occupied"  // somebody is in a place that is held from all but some
)

// stay is a step or an occupation taking something from one moment until another.
type stay struct {
	from, until minute
	step        *step       // who, nil for an occupation
	held        *occupation // or what holds it
	amount      int
}

// meets says whether two stays share any time.
func (a *stay) meets(b *stay) bool { return a.from < b.until && b.from < a.until }

func (a *stay) steps() []*step {
	if a.step != nil {
		return []*step{a.step}
	}
	return []*step{a.held.from, a.held.to}
}

// limits checks crews, room, gear, places that are needed alone, and occupations:
// all of them, or with only given those that this step has a part in.
func (c *checker) limits(only *step) {
	work := c.work()
	held := c.held()
	for k := range c.job.Trades {
		if t := &c.job.Trades[k]; only == nil || slices.Contains(only.Trades, t.ID) {
			c.sweep(CrewsShort, t.ID, max(t.Crews, 1), c.crewsOf(t, work))
		}
	}
	for k := range c.job.Gear {
		if g := &c.job.Gear[k]; only == nil || c.hasGear(only, g.ID) {
			c.sweep(GearShort, g.ID, max(g.Count, 1), c.gearOf(g, work, held))
		}
	}
	for k := range c.job.Places {
		if p := &c.job.Places[k]; p.Room > 0 && (only == nil || c.isIn(only, p.ID)) {
			c.sweep(RoomShort, p.ID, p.Room, c.roomOf(p, work, held))
		}
	}
	c.alone(work, only)
	c.occupied(work, held, only)
}

// hasGear says whether a step has gear, by itself or by an occupation.
func (c *checker) hasGear(s *step, gear scheduler.ID) bool {
	return slices.Contains(s.Gear, gear) || slices.ContainsFunc(c.occupations, func(o *occupation) bool {
		return o.Gear == gear && (o.from == s || o.to == s)
	})
}

// isIn says whether a step is in a place or below it, by itself or by an occupation.
func (c *checker) isIn(s *step, place scheduler.ID) bool {
	in := func(p scheduler.ID) bool { return slices.Contains(c.chain(p), place) }
	return slices.ContainsFunc(s.Places, in) || slices.ContainsFunc(c.occupations, func(o *occupation) bool {
		return o.Place != "" && in(o.Place) && (o.from == s || o.to == s)
	})
}

// work is the stays of all steps that take anything: those of some length that are
// not done; of a started one, what is left of it.
func (c *checker) work() []*stay {
	var out []*stay
	for _, s := range c.steps {
		if !s.done() && s.rest > 0 {
			out = append(out, &stay{from: s.resume, until: s.finish, step: s})
		}
	}
	return out
}

// held is the stays of all occupations that are not over, from as of where their
// first step is done.
func (c *checker) held() []*stay {
	var out []*stay
	for _, o := range c.occupations {
		if o.to.done() {
			continue
		}
		from := o.from.resume
		if o.from.done() || o.from.begun() {
			from = c.asOf
		}
		if from < o.to.finish { // what ends before it begins holds nothing
			out = append(out, &stay{from: from, until: o.to.finish, held: o})
		}
	}
	return out
}

func (c *checker) crewsOf(t *scheduler.Trade, work []*stay) []*stay {
	var out []*stay
	for _, w := range work {
		if slices.Contains(w.step.Trades, t.ID) {
			out = append(out, &stay{from: w.from, until: w.until, step: w.step, amount: min(w.step.Crews, max(t.Crews, 1))})
		}
	}
	return out
}

// gearOf is who has a piece of gear and when. A step for which it is held by an
// occupation uses that one while it is held.
func (c *checker) gearOf(g *scheduler.Gear, work, held []*stay) []*stay {
	var out []*stay
	for _, h := range held {
		if h.held.Gear == g.ID {
			out = append(out, &stay{from: h.from, until: h.until, held: h.held, amount: 1})
		}
	}
	for _, w := range work {
		if slices.Contains(w.step.Gear, g.ID) {
			out = append(out, outside(w, held, func(o *occupation) bool { return o.Gear == g.ID })...)
		}
	}
	return out
}

// roomOf is who takes room in a place and when: what is in it or below it. A step
// that an occupation admits shares its room while it lasts.
func (c *checker) roomOf(p *scheduler.Place, work, held []*stay) []*stay {
	in := func(place scheduler.ID) bool { return slices.Contains(c.chain(place), p.ID) }
	var out []*stay
	for _, h := range held {
		if h.held.Place != "" && !h.held.Alone && in(h.held.Place) {
			out = append(out, &stay{from: h.from, until: h.until, held: h.held, amount: 1})
		}
	}
	for _, w := range work {
		if slices.ContainsFunc(w.step.Places, in) {
			out = append(out, outside(w, held, func(o *occupation) bool { return o.Place != "" && !o.Alone && in(o.Place) })...)
		}
	}
	return out
}

// outside is the parts of a step's stay in which none of the occupations that admit
// it and are meant lasts.
func outside(w *stay, held []*stay, meant func(*occupation) bool) []*stay {
	parts := []*stay{{from: w.from, until: w.until, step: w.step, amount: 1}}
	for _, h := range held {
		if !meant(h.held) || !h.held.lets(w.step) {
			continue
		}
		var left []*stay
		for _, p := range parts {
			if p.from < h.from {
				left = append(left, &stay{from: p.from, until: min(p.until, h.from), step: w.step, amount: 1})
			}
			if p.until > h.until {
				left = append(left, &stay{from: max(p.from, h.until), until: p.until, step: w.step, amount: 1})
			}
		}
		parts = left
	}
	return parts
}

// lets says whether a step may be there although it is held: the steps that begin
// and end the occupation may.
func (o *occupation) lets(s *step) bool { return s == o.from || s == o.to || o.admits[s] }

// sweep looks at every moment at which a stay begins and adds up who is there then.
func (c *checker) sweep(rule Rule, what scheduler.ID, size int, stays []*stay) {
	sort.SliceStable(stays, func(a, b int) bool { return stays[a].from < stays[b].from })
	for k, at := range stays {
		sum := 0
		var who []*step
		for _, s := range stays[:k+1] {
			if s.from <= at.from && at.from < s.until {
				sum += s.amount
				who = append(who, s.steps()...)
			}
		}
		if sum > size {
			c.report(rule, ids(who...), "%s: %d taken at %s of %d", what, sum, at.from.in(c.zone), size)
		}
	}
}

// alone checks that no step is in the place of one that needs it alone, below it
// or in one around it, at the same time.
func (c *checker) alone(work []*stay, only *step) {
	for _, a := range work {
		if !a.step.Alone {
			continue
		}
		for _, b := range work {
			if only != nil && a.step != only && b.step != only {
				continue
			}
			if a != b && a.meets(b) && c.share(a.step.Places, b.step.Places) {
				c.report(NotAlone, ids(a.step, b.step), "%s needs its place alone, but %s is there from %s", a.step.id, b.step.id, max(a.from, b.from).in(c.zone))
			}
		}
	}
}

// occupied checks that nobody but those admitted is in a place held whole.
func (c *checker) occupied(work, held []*stay, only *step) {
	for _, h := range held {
		if h.held.Place == "" || !h.held.Alone {
			continue
		}
		for _, w := range work {
			if only != nil && w.step != only && h.held.from != only && h.held.to != only {
				continue
			}
			if !h.held.lets(w.step) && h.meets(w) && c.share([]scheduler.ID{h.held.Place}, w.step.Places) {
				c.report(OccupiedOver, ids(w.step), "%s is in %s, which %s holds", w.step.id, h.held.Place, h.held.ID)
			}
		}
	}
}

// share says whether one of the places is one of the others, in it or around it.
func (c *checker) share(a, b []scheduler.ID) bool {
	for _, p := range a {
		for _, q := range b {
			if slices.Contains(c.chain(p), q) || slices.Contains(c.chain(q), p) {
				return true
			}
		}
	}
	return false
}
