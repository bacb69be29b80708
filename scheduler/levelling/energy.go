package levelling

import (
	"cmp"
	"slices"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Load is work that a limit has to take between the time from which it can be done
// and the time by which it must, so that what follows it ends in time: it takes until
// Bound at the least before everything can be finished.
type Load struct {
	Bound worktime.Instant // nothing is finished before
	Limit int32
	From  worktime.Instant // none of the work can start earlier
	Steps int
	Work  int64 // minutes, of all who are at it together
}

// crowd is the work of one limit, on one calendar or one that holds them all.
type crowd struct {
	limit    int32
	calendar *worktime.Calendar
	steps    []int32
	energy   []int64
	order    []int32 // by latest finish
	from     []int64 // by item, work before its earliest start
	until    []int64
}

// manySteps is the size from which a network is too large to be dated backwards some
// twenty times for a bound.
const manySteps = 20_000

// BoundByLoad is a lower bound on the last finish from the work that each limit has to
// take, with what must come before and after it by the waits: the latest dates for an
// end are computed, and where between two dates more must be done than can be, the end
// is too early (energetic reasoning: Erschler, Lopez and Thuriot, RAIRO 1991; over
// calendars here). The second result is false where the waits alone bound the finish
// as much, and where no end is late enough.
//
// It is looked for around a guess first, say where it was for a plan before: it is the
// same whatever the guess, and found sooner where the guess is good.
func BoundByLoad(p *Problem, early *network.Times, guess worktime.Instant) (Load, bool) {
	crowds := p.crowds()
	low := network.LastFinish(early) // dates up to here may be too early, those up to high are not
	if len(crowds) == 0 || p.Graph.Steps() > manySteps {
		return Load{}, false
	}
	worst, tooEarly := p.overloaded(crowds, early, low)
	if !tooEarly {
		return Load{}, false
	}
	horizon := p.horizon(early)
	step, high := max((low-p.Graph.AsOf)/4, 24*60), worktime.Never
	if low+1 < guess && guess < horizon {
		step = 1
		for at := guess - 1; at > low; at -= step {
			load, over := p.overloaded(crowds, early, at)
			if over {
				worst, low = load, at
				break
			}
			high, step = at, max(2*step, 60)
		}
	}
	for at := low; !high.Known(); step = max(2*step, 60) {
		at = min(at+step, horizon)
		load, over := p.overloaded(crowds, early, at)
		switch {
		case !over:
			high = at
		case at >= horizon:
			return Load{}, false // pins and most times leave no room for it whatever the end
		default:
			worst, low = load, at
		}
	}
	for low+1 < high {
		middle := low + (high-low)/2
		if load, over := p.overloaded(crowds, early, middle); over {
			worst, low = load, middle
		} else {
			high = middle
		}
	}
	worst.Bound = low + 1
	return worst, true
}

// crowds collects the work of each limit: all of it on a calendar that holds every
// one of its calendars, and that of each calendar alone where there are several.
func (p *Problem) crowds() []*crowd {
	g := p.Graph
	type key struct{ limit, calendar int32 }
	all := map[key]*crowd{}
	var list []*crowd
	put := func(limit, calendar int32, use *Use) {
		c := all[key{limit, calendar}]
		if c == nil {
			c = &crowd{limit: limit, calendar: g.Calendars[calendar]}
			all[key{limit, calendar}] = c
			list = append(list, c)
		}
		c.steps = append(c.steps, use.From)
		c.energy = append(c.energy, g.Rest[use.From]*int64(use.Amount))
	}
	around := make([]int32, len(p.Limits))
	for l := range around {
		around[l] = -1
	}
	for u := range p.Uses {
		use := &p.Uses[u]
		switch c := g.Cal[use.From]; {
		case use.From != use.To:
		case around[use.Limit] == -1:
			around[use.Limit] = c
		case c == network.RealTime || around[use.Limit] == network.RealTime:
			around[use.Limit] = network.RealTime
		case c != around[use.Limit]:
			around[use.Limit] = network.Site // every other calendar lies within the site's
		}
	}
	for u := range p.Uses {
		use := &p.Uses[u]
		if use.From != use.To {
			continue
		}
		put(use.Limit, around[use.Limit], use)
		if c := g.Cal[use.From]; c != around[use.Limit] {
			put(use.Limit, c, use)
		}
	}
	for _, c := range list {
		n := len(c.steps)
		c.order, c.from, c.until = make([]int32, n), make([]int64, n), make([]int64, n)
		for k := range c.order {
			c.order[k] = int32(k)
		}
	}
	return list
}

// overloaded says whether some limit would have to take more than it can if all ended
// by an instant, and which work that is.
func (p *Problem) overloaded(crowds []*crowd, early *network.Times, end worktime.Instant) (Load, bool) {
	bounds := make([]worktime.Instant, p.Graph.Steps())
	for i := range bounds {
		bounds[i] = end
	}
	late, _, err := p.Graph.Latest(bounds)
	if err != nil {
		return Load{}, false
	}
	for _, c := range crowds {
		if load, over := c.overloaded(early, &late, int64(p.Limits[c.limit].Size)); over {
			return load, true
		}
	}
	return Load{}, false
}

// overloaded looks at the work between the earliest start of each step and the latest
// finish of each, or of a large crowd between the very earliest start and each latest
// finish.
func (c *crowd) overloaded(early, late *network.Times, size int64) (Load, bool) {
	const large = 1500
	least := int64(worktime.Never)
	for k, i := range c.steps {
		c.from[k], c.until[k] = c.calendar.Work(early.Start[i]), c.calendar.Work(late.Finish[i])
		least = min(least, c.from[k])
	}
	slices.SortFunc(c.order, func(a, b int32) int { return cmp.Or(cmp.Compare(c.until[a], c.until[b]), cmp.Compare(a, b)) })
	for k := range c.steps {
		from := c.from[k]
		if len(c.steps) > large {
			from = least
		}
		sum, count := int64(0), 0
		for _, o := range c.order {
			if c.from[o] < from {
				continue
			}
			sum += c.energy[o]
			count++
			if sum > size*(c.until[o]-from) {
				return Load{Limit: c.limit, From: c.calendar.Last(from), Steps: count, Work: sum}, true
			}
		}
		if len(c.steps) > large {
			break
		}
	}
	return Load{}, false
}
