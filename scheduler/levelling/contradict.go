package levelling

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/proof"
	"gaugerod/scheduler/worktime"
)

// Set is statements that cannot all hold.
type Set struct {
	Claims   []Claim
	Steps    []int32 // whom they are about
	Aside    int     // the claim to set aside, an index; -1: all are facts and limits
	Smallest bool    // it is proven that they cannot all hold, and can without any one
}

// Kept is what the search came to where an order alone kept not everything: a
// schedule that keeps every most time, pin, limit and occupation, or else a set that
// contradicts itself, or neither, when the effort ran out.
type Kept struct {
	Schedule Schedule
	Found    bool
	Set      *Set
}

// trialEffort is the dead ends that may be met for each question whether part of a
// problem can hold.
const trialEffort = 400

// Keep looks for a schedule that keeps all that the nearest one known does not,
// meeting so many dead ends at most, or for a smallest set of statements that forbid
// it: a part of the problem that cannot hold is sought around what is not kept, and
// thinned by leaving out what it does not need (a deletion filter: Chinneck and
// Dravnieks, ORSA J. on Computing 3, 1991), each time with the search for a proof.
func Keep(p *Problem, early *network.Times, near *Schedule, effort int64) Kept {
	if effort <= 0 {
		return Kept{}
	}
	c := newContradicting(p, near)
	for _, seeds := range c.seeds() {
		if q, ok := c.around(seeds, early); ok {
			return Kept{Set: c.smallest(q)}
		}
	}
	end, _ := c.horizon(p, early)
	s, outcome := p.find(early, end, near, effort)
	switch outcome {
	case proof.Found:
		return Kept{Schedule: s, Found: true}
	case proof.Refuted:
		all := make([]int32, p.Graph.Steps())
		for i := range all {
			all[i] = int32(i)
		}
		q := part{all, c.claims(all)}
		if c.holds(&q) == proof.Refuted {
			return Kept{Set: c.smallest(q)}
		}
	}
	return Kept{}
}

// find searches for any schedule that is over by an end.
func (p *Problem) find(early *network.Times, end worktime.Instant, near *Schedule, effort int64) (Schedule, proof.Outcome) {
	bounds := make([]worktime.Instant, p.Graph.Steps())
	for i := range bounds {
		bounds[i] = worktime.Never
	}
	model, ok := newModel(p, early, bounds, end)
	if !ok {
		return Schedule{}, proof.Refuted
	}
	search := proof.NewSearch(model)
	if near != nil {
		search.Follow(startsOf(near, model))
	}
	outcome, starts := search.Next(effort, nil)
	if outcome != proof.Found {
		return Schedule{}, outcome
	}
	return p.scheduleOf(starts), proof.Found
}

// contradicting is a search for a smallest contradicting set.
type contradicting struct {
	p       *Problem
	near    *Schedule
	gone    map[Claim]bool // most times that have been set aside already
	longest map[stretch]int64
	asOf    worktime.Date
}

func newContradicting(p *Problem, near *Schedule) *contradicting {
	c := &contradicting{p: p, near: near, gone: map[Claim]bool{}, longest: map[stretch]int64{}}
	c.asOf = p.Graph.AsOf.Date(p.Graph.Zone)
	for k := range p.Graph.Arcs {
		if a := &p.Graph.Arcs[k]; a.Most && a.Dropped {
			c.gone[Claim{MostClaim, a.Wait}] = true
		}
	}
	return c
}

// holds asks whether a part can hold, laid out and searched like a job of its own.
func (c *contradicting) holds(q *part) proof.Outcome {
	outcome, _ := c.try(q)
	return outcome
}

// try is holds with whether a refutation is for all time, not just for that which
// the calendars reach.
func (c *contradicting) try(q *part) (outcome proof.Outcome, forever bool) {
	p := NewProblem(c.p.Graph.Again(c.network(q), c.asOf))
	early, conflicts, err := p.Graph.Earliest()
	switch {
	case err != nil:
		return proof.Unfinished, false
	case len(conflicts) > 0 || len(p.Barred) > 0:
		return proof.Refuted, true
	}
	end, forever := c.horizon(p, &early)
	_, outcome = p.find(&early, end, nil, trialEffort)
	return outcome, forever
}

// smallest thins a part that cannot hold until nothing can be left out: whole steps
// in blocks that are halved, then single statements, again and again, since a
// statement less can also forbid something (who shares a place held for it does so
// only where waits prove it).
func (c *contradicting) smallest(q part) *Set {
	sure := true
	q = c.thin(q, true, max(len(q.steps)/2, 1), &sure)
	q.claims = slices.DeleteFunc(q.claims, func(claim Claim) bool { return !c.within(claim, index(q.steps)) })
	block := max(len(q.claims)/2, 1)
	for before := -1; before != len(q.claims); block = 1 {
		before, sure = len(q.claims), true
		q = c.thin(q, false, block, &sure)
	}
	q = c.thin(q, true, 1, new(bool))
	outcome, forever := c.try(&q)
	slices.SortStableFunc(q.claims, func(a, b Claim) int { return int(b.Kind) - int(a.Kind) }) // waits first, for reading
	return &Set{Claims: q.claims, Steps: q.steps, Aside: c.aside(q.claims), Smallest: sure && forever && outcome == proof.Refuted}
}

// thin leaves out steps or claims in blocks down to single ones. Sure becomes false
// where it stays unknown whether a single one is needed.
func (c *contradicting) thin(q part, steps bool, block int, sure *bool) part {
	count := func() int {
		if steps {
			return len(q.steps)
		}
		return len(q.claims)
	}
	for ; ; block = max(block/2, 1) {
		for k := 0; k < count(); {
			end := min(k+block, count())
			less := q.without(k, end, steps)
			switch c.holds(&less) {
			case proof.Refuted:
				q = less
				continue
			case proof.Unfinished:
				*sure = *sure && block > 1
			}
			k = end
		}
		if block == 1 {
			return q
		}
	}
}

func index(steps []int32) map[int32]int {
	at := make(map[int32]int, len(steps))
	for k, i := range steps {
		at[i] = k
	}
	return at
}

// aside is the claim that is set aside: a pin to a day, else any pin, else a most
// time, else the wait written last; -1 where there is none of these.
func (c *contradicting) aside(claims []Claim) int {
	best := -1
	for k := range claims {
		if c.weight(claims[k]) > 0 && (best < 0 || c.setsAside(claims[k], claims[best])) {
			best = k
		}
	}
	return best
}

func (c *contradicting) weight(claim Claim) int {
	switch claim.Kind {
	case PinClaim:
		if c.p.Graph.Net.Job.Pins[claim.Index].On != nil {
			return 5
		}
		return 4
	case MostClaim:
		return 3
	case WaitClaim:
		if c.p.Graph.Net.Waits[claim.Index].Most == nil || c.gone[Claim{MostClaim, claim.Index}] {
			return 2
		}
		return 1 // its most time does no harm, and would be let go first
	}
	return 0
}

// setsAside says whether one claim is set aside rather than another.
func (c *contradicting) setsAside(a, b Claim) bool {
	if x, y := c.weight(a), c.weight(b); x != y {
		return x > y
	}
	pos := func(claim Claim) scheduler.Pos {
		if claim.Kind == PinClaim {
			return c.p.Graph.Net.Job.Pins[claim.Index].Pos
		}
		return c.p.Graph.Net.Waits[claim.Index].Pos
	}
	if p, q := pos(a), pos(b); p.Line != q.Line {
		return p.Line > q.Line
	}
	return a.Index > b.Index
}
