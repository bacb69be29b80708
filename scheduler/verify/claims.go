package verify

import (
	"slices"

	"gaugerod/scheduler"
)

// claim is something of which no more than size may be taken at any moment.
type claim struct {
	size   int
	takers []taker
}

// taker takes so much of a claim from the start of what is left of one step until
// another, or the same, is finished; what has begun to be held, from as of.
type taker struct {
	first, last *step
	begun       bool
	amount      int
}

// stay is when a taker takes something in the given dates.
func (t taker) stay(d dates, asOf minute) (from, until minute) {
	from = d[t.first].start
	if t.begun {
		from = asOf
	}
	return from, d[t.last].finish
}

func alone(s *step, amount int) taker { return taker{first: s, last: s, amount: amount} }

// takes says whether a step takes anything at all.
func (s *step) takes() bool { return !s.done() && s.rest > 0 }

// allClaims lists what is scarce on the job and who takes it, whatever the dates.
func (e *exhaustion) allClaims() {
	for k := range e.job.Trades {
		t := &e.job.Trades[k]
		size := max(t.Crews, 1)
		e.claim(size, nil, func(s *step) int {
			if slices.Contains(s.Trades, t.ID) {
				return min(s.Crews, size)
			}
			return 0
		})
	}
	for k := range e.job.Gear {
		g := &e.job.Gear[k]
		held := e.holders(func(o *occupation) bool { return o.Gear == g.ID })
		e.claim(max(g.Count, 1), held, func(s *step) int { return one(slices.Contains(s.Gear, g.ID)) })
	}
	for k := range e.job.Places {
		p := &e.job.Places[k]
		if p.Room <= 0 {
			continue
		}
		in := func(place scheduler.ID) bool { return slices.Contains(e.chain(place), p.ID) }
		held := e.holders(func(o *occupation) bool { return o.Place != "" && !o.Alone && in(o.Place) })
		e.claim(p.Room, held, func(s *step) int { return one(slices.ContainsFunc(s.Places, in)) })
	}
	e.pairs()
}

func one(is bool) int {
	if is {
		return 1
	}
	return 0
}

// claim adds a claim of occupations and of every step that takes some of it, but for
// those that share what an occupation holds.
func (e *exhaustion) claim(size int, held []*occupation, amount func(*step) int) {
	c := claim{size: size}
	for _, o := range held {
		c.takers = append(c.takers, e.holding(o))
	}
	for _, s := range e.steps {
		shares := slices.ContainsFunc(held, func(o *occupation) bool { return o.lets(s) && e.surelyWithin(o, s) })
		if n := amount(s); n > 0 && s.takes() && !shares {
			c.takers = append(c.takers, alone(s, n))
		}
	}
	e.claims = append(e.claims, c)
}

// pairs adds the claims of two who may not be in one place together.
func (e *exhaustion) pairs() {
	for k, a := range e.steps {
		for i, b := range e.steps {
			if a.takes() && b.takes() && a.Alone && (i > k || i < k && !b.Alone) && e.share(a.Places, b.Places) {
				e.claims = append(e.claims, claim{1, []taker{alone(a, 1), alone(b, 1)}})
			}
		}
	}
	for _, o := range e.holders(func(o *occupation) bool { return o.Place != "" && o.Alone }) {
		for _, s := range e.steps {
			if s.takes() && !o.lets(s) && e.share([]scheduler.ID{o.Place}, s.Places) {
				e.claims = append(e.claims, claim{1, []taker{e.holding(o), alone(s, 1)}})
			}
		}
	}
}

// holders is the occupations that are meant and not over.
func (e *exhaustion) holders(meant func(*occupation) bool) []*occupation {
	var list []*occupation
	for _, o := range e.occupations {
		if meant(o) && !o.to.done() {
			list = append(list, o)
		}
	}
	return list
}

func (e *exhaustion) holding(o *occupation) taker {
	return taker{first: o.from, last: o.to, begun: o.from.done() || o.from.begun(), amount: 1}
}

// surelyWithin says whether least times alone keep a step within an occupation: it
// starts no earlier than the first step of it and finishes no later than the last.
func (e *exhaustion) surelyWithin(o *occupation, s *step) bool {
	begun := o.from.done() || o.from.begun()
	return (begun || e.leads(o.from, scheduler.Start, s, scheduler.Start)) && e.leads(s, scheduler.Finish, o.to, scheduler.Finish)
}

// leads says whether waits keep one end of a step from coming before another's. A
// recorded time holds nobody and is not moved, but the rest of a begun step waits.
func (e *exhaustion) leads(from *step, fromEnd scheduler.End, to *step, toEnd scheduler.End) bool {
	type end struct {
		s *step
		e scheduler.End
	}
	seen := map[end]bool{{from, fromEnd}: true}
	for list := []end{{from, fromEnd}}; len(list) > 0; list = list[1:] {
		at := list[0]
		reach := func(next end) {
			if !seen[next] {
				seen[next] = true
				list = append(list, next)
			}
		}
		if at.e == scheduler.Start {
			reach(end{at.s, scheduler.Finish})
		}
		for _, j := range e.joins {
			if j.acts() && j.from == at.s && j.fromEnd == at.e && !j.from.settled(at.e) && !j.to.done() {
				reach(end{j.to, j.toEnd})
			}
		}
	}
	return seen[end{to, toEnd}]
}

// clash is takers of one claim that take more than there is when they all overlap.
type clash struct {
	*exhaustion
	takers []taker
}

// firstClash is the clash that comes first in the given dates, nil where there is none.
// Takers without whom it would still be too much are left out of it.
func (e *exhaustion) firstClash(d dates) *clash {
	var found *clash
	first := never
	for _, c := range e.claims {
		for _, t := range c.takers {
			at, until := t.stay(d, e.asOf)
			if at >= until || at >= first {
				continue
			}
			if who := c.over(d, e.asOf, at); who != nil {
				first, found = at, &clash{e, who}
			}
		}
	}
	return found
}

// over is some takers who are there at a moment and together take more than there is.
func (c *claim) over(d dates, asOf, at minute) []taker {
	var who []taker
	sum := 0
	for _, t := range c.takers {
		if from, until := t.stay(d, asOf); from <= at && at < until {
			who = append(who, t)
			sum += t.amount
		}
	}
	if sum <= c.size {
		return nil
	}
	return slices.DeleteFunc(who, func(t taker) bool {
		spare := sum-t.amount > c.size
		if spare {
			sum -= t.amount
		}
		return spare
	})
}

// orders is every way to end a clash: one taker after another, or an occupation that
// is over before it begins and so holds nothing.
func (c *clash) orders() []half {
	var list []half
	for i, a := range c.takers {
		for k, b := range c.takers {
			if !b.begun && (i != k || a.first != a.last) {
				list = append(list, after(a.last, b.first))
			}
		}
	}
	return list
}

// after lets what is left of a step start when another has finished.
func after(first, then *step) half {
	return half{push: func(d dates) (*step, minute) { return then, then.firstStart(scheduler.Start, d[first].finish) }}
}
