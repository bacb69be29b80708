package levelling

import (
	"cmp"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
)

// apartness is what keeps the steps of trades apart in every schedule that finishes
// by the latest dates: the waits between them, and their own earliest and latest dates.
type apartness struct {
	v     *visitors
	early *network.Times
	late  *network.Times
	at    []int32         // by step: its place in the order in which least times run forwards
	dist  []int64         // by end: least working minutes from the finish looked from, -1: none known
	most  map[work]int64  // by calendar and minutes of work: the real minutes in which it is done at the most
	sure  map[int64]int64 // by real minutes: the site's working minutes in them at the least
}

// work is an amount of it on a calendar.
type work struct {
	calendar int32
	minutes  int64
}

func newApartness(v *visitors, early, late *network.Times) *apartness {
	a := &apartness{v: v, early: early, late: late, most: map[work]int64{}, sure: map[int64]int64{}}
	n := v.p.Graph.Steps()
	a.dist, a.at = make([]int64, 2*n), make([]int32, n)
	for k, i := range v.p.Graph.Order() {
		a.at[i] = int32(k)
	}
	return a
}

// counts says whether an arc puts one step after another that moves.
func (a *apartness) counts(arc *network.Arc) bool {
	g := a.v.p.Graph
	return !arc.Most && !arc.Dropped && arc.From != arc.To && !g.Fixed(arc.From, arc.FromEnd) && g.Progress[arc.To] != network.Done
}

// from computes the least working minutes of the site from the finish of a step to
// each end of the steps that must follow it: the longest way over lengths and waits.
func (a *apartness) from(step int32) {
	g := a.v.p.Graph
	for q := range a.dist {
		a.dist[q] = -1
	}
	a.dist[2*step+int32(scheduler.Finish)] = 0
	for _, i := range g.Order()[a.at[step]:] {
		start, finish := &a.dist[2*i+int32(scheduler.Start)], &a.dist[2*i+int32(scheduler.Finish)]
		if *start >= 0 {
			*finish = max(*finish, *start+a.least(g.Cal[i], g.Rest[i]))
		}
		for k := range g.Out(int(i)) {
			arc := &g.Out(int(i))[k]
			d := a.dist[2*i+int32(arc.FromEnd)]
			if d < 0 || !a.counts(arc) {
				continue
			}
			to := &a.dist[2*arc.To+int32(arc.ToEnd)]
			*to = max(*to, d+a.least(arc.Cal, arc.Lag))
		}
	}
}

// least is the site's working minutes in an amount of work at the least: all of it,
// since every calendar lies within the site's, but for real time.
func (a *apartness) least(calendar int32, minutes int64) int64 {
	if calendar != network.RealTime || minutes == 0 || a.v.site.IsContinuous() {
		return minutes
	}
	least, ok := a.sure[minutes]
	if !ok {
		lo, hi := int64(0), minutes // so much is sure, so much may not be
		for lo < hi {
			if mid := lo + (hi-lo+1)/2; a.v.site.Longest(mid) <= minutes {
				lo = mid
			} else {
				hi = mid - 1
			}
		}
		least = lo
		a.sure[minutes] = least
	}
	return least
}

// between is the least working minutes between two steps of a trade, after from has
// been asked of the first; -1 when the second may come first.
func (a *apartness) between(first, then int32) int64 {
	d := a.dist[2*then+int32(scheduler.Start)]
	if a.late.Finish[first] <= a.early.Start[then] {
		d = max(d, a.v.away(a.late.Finish[first], a.early.Start[then]))
	}
	return d
}

// forced is, for the steps of a trade by number, the least working minutes between
// each two, -1: none.
func (a *apartness) forced(steps []int32) [][]int64 {
	out := make([][]int64, len(steps))
	for k, i := range steps {
		a.from(i)
		out[k] = make([]int64, len(steps))
		for l, j := range steps {
			out[k][l] = -1
			if j != i {
				out[k][l] = a.between(i, j)
			}
		}
	}
	return out
}

// least visits of a trade: the longest chain of its steps in which between each and
// the next there is a break, whatever the order, which its other steps cannot fill.
func (a *apartness) visits(steps []int32, forced [][]int64) int {
	order := make([]int, len(steps))
	for k := range order {
		order[k] = k
	}
	slices.SortFunc(order, func(x, y int) int {
		return cmp.Or(cmp.Compare(a.early.Start[steps[x]], a.early.Start[steps[y]]), cmp.Compare(x, y))
	})
	fill := make([]int64, len(steps))
	for k, i := range steps {
		fill[k] = a.longest(i) + a.v.gap
	}
	chain, longest := make([]int, len(steps)), 0
	for n, l := range order {
		for _, k := range order[:n] {
			if forced[k][l] > a.v.gap && chain[k]+1 > chain[l] && !a.filled(steps, fill, forced, k, l) {
				chain[l] = chain[k] + 1
			}
		}
		longest = max(longest, chain[l])
	}
	return longest + 1
}

// manyFillers is how many steps of a trade are too many to look at how each can follow
// the others.
const manyFillers = 60

// filled says whether the other steps of a trade may fill the time between two of
// them so that it is never away for long, each by so much at the most.
func (a *apartness) filled(steps []int32, fill []int64, forced [][]int64, first, then int) bool {
	most := a.v.gap
	var chained []bool
	if len(steps) <= manyFillers {
		chained = a.chained(steps, forced, first, then)
	}
	for c := range steps {
		if c == first || c == then || !a.within(steps, forced, first, c, then) || chained != nil && !chained[c] {
			continue
		}
		if most += fill[c]; most >= forced[first][then] {
			return true
		}
	}
	return false
}

// chained marks the steps through which a chain can lead from one step to another in
// which each may follow soon after the one before it.
func (a *apartness) chained(steps []int32, forced [][]int64, first, then int) []bool {
	soon := func(x, y int) bool { return forced[x][y] <= a.v.gap && forced[y][x] < 0 }
	reach := func(from int, next func(x, y int) bool) []bool {
		seen := make([]bool, len(steps))
		for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
			for c := range steps {
				if !seen[c] && c != first && c != then && next(queue[0], c) && a.within(steps, forced, first, c, then) {
					seen[c] = true
					queue = append(queue, c)
				}
			}
		}
		return seen
	}
	after, before := reach(first, soon), reach(then, func(x, y int) bool { return soon(y, x) })
	for c := range after {
		after[c] = after[c] && before[c]
	}
	return after
}

// within says whether a step may lie between two others, at least in part.
func (a *apartness) within(steps []int32, forced [][]int64, first, c, then int) bool {
	return forced[c][first] < 0 && forced[then][c] < 0 &&
		a.late.Finish[steps[c]] > a.early.Finish[steps[first]] && a.early.Start[steps[c]] < a.late.Start[steps[then]]
}

// longest is the most working minutes of the site that pass while a step goes on.
func (a *apartness) longest(i int32) int64 {
	g := a.v.p.Graph
	c := g.Calendars[g.Cal[i]]
	if g.Cal[i] == network.Site || c.IsContinuous() {
		return g.Rest[i]
	}
	window := max(a.v.away(a.early.Start[i], a.late.Finish[i]), g.Rest[i])
	k := work{g.Cal[i], g.Rest[i]}
	if _, ok := a.most[k]; !ok {
		a.most[k] = c.Longest(g.Rest[i] + 1)
	}
	return min(window, a.most[k])
}

// latestWithin is the latest dates with which a schedule is as punctual and finishes
// as early as one, whatever the limits.
func (p *Problem) latestWithin(s *Schedule, early *network.Times) (network.Times, error) {
	bounds, _ := p.punctual(s.Late, early)
	for i := range bounds {
		bounds[i] = min(bounds[i], s.Last)
	}
	late, _, err := p.Graph.Latest(bounds)
	return late, err
}
