package levelling

import (
	"slices"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/proof"
	"gaugerod/scheduler/worktime"
)

// Joining is a search for schedules in which trades make fewer visits, as punctual
// and as short as the one it sets out from. Again and again it takes two visits of a
// trade and asks the proof search for a schedule in which they are one and all other
// visits stay together: what it finds has one visit less.
type Joining struct {
	Best   Schedule
	Visits int           // that trades make in it
	Least  int           // no schedule as punctual and as short has fewer
	Links  []network.Arc // keep its visits together

	p      *Problem
	early  *network.Times
	v      *visitors
	forced [][][]int64 // by trade: see apartness.forced; nil: not looked at
	failed map[pair]bool
}

// joinEnds is how many dead ends one try to join two visits may meet.
const joinEnds = 40

// manyVisitors is the size from which what keeps steps apart is not looked at.
const manyVisitors = 6_000

// NewJoining sets out from a schedule that keeps all waits and limits.
func NewJoining(p *Problem, best Schedule, early *network.Times) *Joining {
	j := &Joining{p: p, early: early, v: newVisitors(p), failed: map[pair]bool{}}
	j.take(best)
	j.Least = min(len(j.v.steps), j.Visits)
	late, err := p.latestWithin(&best, early)
	if err != nil || p.Graph.Steps() > manyVisitors {
		return j
	}
	a := newApartness(j.v, early, &late)
	j.Least = 0
	for _, steps := range j.v.steps {
		forced := a.forced(steps)
		j.forced = append(j.forced, forced)
		j.Least += a.visits(steps, forced)
	}
	return j
}

// take makes a schedule the one that the search goes on from.
func (j *Joining) take(s Schedule) {
	j.Best, j.Visits, j.Links = s, j.v.count(&s.Times), j.v.links(&s.Times)
}

// Run tries to join visits until there are no fewer, nothing is left to try, or so
// many dead ends have been met, a try counting for one more. Stop, when not nil, is
// asked between tries.
func (j *Joining) Run(effort int64, stop func() bool) {
	for effort > 0 && j.Visits > j.Least && !stopped(stop) {
		next, ok := j.candidate()
		if !ok {
			return
		}
		s, met, found := j.try(j.v.link(slices.Clone(j.Links), next.first, next.then), -1, 0, min(joinEnds, effort))
		effort -= met + 1
		if found && j.v.count(&s.Times) < j.Visits {
			j.take(s)
		} else {
			j.failed[next] = true
		}
	}
}

// candidate is a step of one visit and one of the next that have not been tried: of
// all trades the pair with the shortest time between.
func (j *Joining) candidate() (best pair, ok bool) {
	shortest := int64(worktime.Never)
	for k, steps := range j.v.steps {
		runs := j.v.runs(steps, &j.Best.Times)
		for r := 1; r < len(runs); r++ {
			before := lastOut(runs[r-1], &j.Best.Times)
			away := j.v.away(j.Best.Finish[before], j.Best.Start[runs[r][0]])
			if away >= shortest {
				continue
			}
			for _, c := range j.ways(runs[r-1], runs[r], before) {
				if !j.failed[c] && !j.hopeless(k, c) {
					best, ok, shortest = c, true, away
					break
				}
			}
		}
	}
	return best, ok
}

// ways is how two visits can be joined: the second goes on from the first, or, where
// one of them is a single step, that goes into the other after some step of it.
func (j *Joining) ways(first, then []int32, before int32) []pair {
	list := []pair{{before, then[0]}}
	if len(first) == 1 {
		list = append(list, pair{then[0], first[0]}, pair{lastOut(then, &j.Best.Times), first[0]})
	}
	if len(then) == 1 {
		list = append(list, pair{first[0], then[0]})
	}
	return list
}

// hopeless says whether waits keep two steps of a trade too far apart.
func (j *Joining) hopeless(trade int, c pair) bool {
	if j.forced == nil {
		return false
	}
	steps := j.v.steps[trade]
	first, then := slices.Index(steps, c.first), slices.Index(steps, c.then)
	return j.forced[trade][first][then] > j.v.gap || j.forced[trade][then][first] >= 0
}

// Postpone tries to let a step go with a later visit of its trade, so that it starts
// no earlier than from, with no more visits, until so many dead ends have been met, a
// try counting for one more. It returns how much of the effort is left.
func (j *Joining) Postpone(step int32, from worktime.Instant, effort int64) int64 {
	t := &j.Best.Times
	others := j.v.linksBut(t, step)
	for _, steps := range j.v.steps {
		if !slices.Contains(steps, step) {
			continue
		}
		for _, run := range j.v.runs(steps, t) {
			last := lastOut(run, t)
			if t.Finish[last] < from || slices.Contains(run, step) {
				continue
			}
			for _, c := range []pair{{step, run[0]}, {run[0], step}, {last, step}} {
				if effort <= 0 {
					return 0
				}
				s, met, found := j.try(j.v.link(slices.Clone(others), c.first, c.then), step, from, min(joinEnds, effort))
				effort -= met + 1
				if found && s.Start[step] >= from && j.v.count(&s.Times) <= j.Visits {
					j.take(s)
					return effort
				}
			}
		}
	}
	return effort
}

// try asks for a schedule that keeps some links, in which one step, if any, starts no
// earlier than a time. Work that has begun stays where it is.
func (j *Joining) try(links []network.Arc, step int32, from worktime.Instant, ends int64) (s Schedule, met int64, found bool) {
	q := *j.p
	q.Graph = j.p.Graph.WithArcs(links)
	bounds, sum := j.p.punctual(j.Best.Late, j.early)
	m, ok := newModel(&q, j.early, bounds, j.Best.Last)
	if !ok {
		return s, 0, false
	}
	m.Sum = sum
	for i := range q.Graph.Steps() {
		if q.Graph.Progress[i] == network.Begun {
			m.Hi[i] = min(m.Hi[i], int64(j.Best.Start[i]))
		}
	}
	if step >= 0 {
		if m.Lo[step] = max(m.Lo[step], int64(q.Graph.StartFrom(int(step), from))); m.Lo[step] > m.Hi[step] {
			return s, 0, false
		}
	}
	search := proof.NewSearch(m)
	search.Follow(startsOf(&j.Best, m))
	outcome, starts := search.Next(ends, nil)
	if outcome != proof.Found {
		return s, search.Steps(), false
	}
	return j.together(j.p.scheduleOf(starts)), search.Steps(), true
}

// together is a schedule with every step as early as its order and its visits allow.
func (j *Joining) together(s Schedule) Schedule {
	h := j.p.Graph.WithArcs(append(Chain(j.p, &s), j.v.links(&s.Times)...))
	t, conflicts, err := h.Earliest()
	if err != nil || len(conflicts) > 0 {
		return s
	}
	if early := j.p.measured(t); early.Late <= s.Late && early.Last <= s.Last && j.v.count(&t) <= j.v.count(&s.Times) {
		return early
	}
	return s
}
