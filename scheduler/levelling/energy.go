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
	from     []int64 // by item, work before its earliest start
	least    int64   // of those
	until    []int64 // by item, work before its latest finish
	order    []latest
	tree     *envelope // nil: of a large crowd
}

// latest is an item with its latest finish.
type latest struct {
	until int64
	item  int32
}

// large is a crowd of which not every pair of dates is looked at.
const large = 1500

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
	crowds := p.crowds(early)
	low := network.LastFinish(early) // dates up to here may be too early, those up to high are not
	if len(crowds) == 0 || p.Graph.Steps() > manySteps {
		return Load{}, false
	}
	worst, tooEarly := p.overloaded(crowds, low)
	if !tooEarly {
		return Load{}, false
	}
	horizon := p.horizon(early)
	step, high := max((low-p.Graph.AsOf)/4, 24*60), worktime.Never
	if low+1 < guess && guess < horizon {
		step = 1
		for at := guess - 1; at > low; at -= step {
			load, over := p.overloaded(crowds, at)
			if over {
				worst, low = load, at
				break
			}
			high, step = at, max(2*step, 60)
		}
	}
	for at := low; !high.Known(); step = max(2*step, 60) {
		at = min(at+step, horizon)
		load, over := p.overloaded(crowds, at)
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
		if load, over := p.overloaded(crowds, middle); over {
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
func (p *Problem) crowds(early *network.Times) []*crowd {
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
		c.begin(early)
	}
	return list
}

// begin works out what is the same for each end.
func (c *crowd) begin(early *network.Times) {
	n := len(c.steps)
	c.order, c.from, c.until, c.least = make([]latest, n), make([]int64, n), make([]int64, n), int64(worktime.Never)
	for k, i := range c.steps {
		c.order[k].item = int32(k)
		c.from[k] = c.calendar.Work(early.Start[i])
		c.least = min(c.least, c.from[k])
	}
	if n <= large {
		c.tree = newEnvelope(c.from)
	}
}

// overloaded says whether some limit would have to take more than it can if all ended
// by an instant, and which work that is.
func (p *Problem) overloaded(crowds []*crowd, end worktime.Instant) (Load, bool) {
	bounds := make([]worktime.Instant, p.Graph.Steps())
	for i := range bounds {
		bounds[i] = end
	}
	late, _, err := p.Graph.Latest(bounds)
	if err != nil {
		return Load{}, false
	}
	for _, c := range crowds {
		size := int64(p.Limits[c.limit].Size)
		c.sort(&late)
		if c.tree != nil && !c.tree.overloaded(c, size) {
			continue
		}
		if load, over := c.overloaded(size); over {
			return load, true
		}
	}
	return Load{}, false
}

// sort puts the items into the order of their latest finishes.
func (c *crowd) sort(late *network.Times) {
	for k, i := range c.steps {
		c.until[k] = c.calendar.Work(late.Finish[i])
	}
	for k := range c.order { // as it was for another end: that is nearly right
		c.order[k].until = c.until[c.order[k].item]
	}
	c.inOrder()
}

func (c *crowd) inOrder() {
	slices.SortFunc(c.order, func(a, b latest) int { return cmp.Or(cmp.Compare(a.until, b.until), cmp.Compare(a.item, b.item)) })
}

// overloaded looks at the work between the earliest start of each step and the latest
// finish of each, or of a large crowd between the very earliest start and each latest
// finish, and gives the first that is too much.
func (c *crowd) overloaded(size int64) (Load, bool) {
	for k := range c.steps {
		from := c.from[k]
		if len(c.steps) > large {
			from = c.least
		}
		sum, count := int64(0), 0
		for _, o := range c.order {
			if c.from[o.item] < from {
				continue
			}
			sum += c.energy[o.item]
			count++
			if sum > size*(o.until-from) {
				return Load{Limit: c.limit, From: c.calendar.Last(from), Steps: count, Work: sum}, true
			}
		}
		if len(c.steps) > large {
			break
		}
	}
	return Load{}, false
}
