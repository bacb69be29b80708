package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// serial is the serial schedule generation scheme: steps are placed one after the
// other, each at the earliest time at which its waits, its calendar and its limits
// let it be, given the steps already placed.
//
// A most time can be broken by that order. Then the step it looks back to is
// raised to where the time would be kept and the schedule made anew, as often as
// the budget lets it: raises only grow, and late enough everything has room.
type serial struct {
	p        *Problem
	priority []int64 // the smaller comes first
	least    []worktime.Instant
	soonest  []worktime.Instant // by step: its earliest start when it was last asked for
	t        network.Times
	placed   []bool
	waiting  []int32
	queue    priorityQueue
	blocked  []int32           // eligible steps that an open occupation keeps out
	after    map[int32][]int32 // by step: steps to be placed before it, to get out of a deadlock
	barred   []Bar             // steps that had to be placed against an occupation
	eager    bool              // leave no step waiting that could start: the parallel scheme
	lenient  bool              // go on where a most time or a pin is not kept
	profiles []profile
}

func newSerial(p *Problem) *serial {
	n := p.Graph.Steps()
	s := &serial{
		p: p, t: network.NewTimes(n), least: make([]worktime.Instant, n), soonest: make([]worktime.Instant, n),
		placed: make([]bool, n), waiting: make([]int32, n), profiles: make([]profile, len(p.Limits)),
	}
	s.queue.s = s
	return s
}

// schedule places every step by priority; ok is false when the budget of raises
// ran out with a most time or a pin not kept.
func (s *serial) schedule(priority []int64, early []worktime.Instant, raises int) (sched Schedule, ok bool) {
	s.priority = priority
	copy(s.least, early)
	s.lenient, s.after = false, nil
	for ; ; raises-- {
		late := s.pass()
		if late == complete {
			return s.result(), true
		}
		if raises <= 0 || late == deadlock && !s.postpone() || late >= 0 && !s.raise(late) {
			s.lenient = true
			copy(s.least, early) // raises that did not help can be beyond any calendar
			s.pass()
			return s.result(), false
		}
	}
}

// The outcomes of a pass other than a step that is late.
const (
	complete = -1
	deadlock = -2
)

// pass places all steps once. It stops at the first step that cannot be placed as
// early as what is placed already demands, and returns it, or at a deadlock: all
// that could go on is kept out by occupations whose end waits for it.
func (s *serial) pass() int {
	s.reset()
	for {
		for len(s.queue.items) == 0 {
			switch {
			case len(s.blocked) > 0 && !s.lenient:
				return deadlock
			case len(s.blocked) > 0:
				s.force()
			case !s.enterLoop():
				return complete
			}
		}
		i, t := s.next()
		if t >= worktime.Never {
			s.blocked = append(s.blocked, int32(i))
			continue
		}
		s.place(i, t)
		if !s.lenient && t > s.latest(i) {
			return i
		}
	}
}

// next takes the step to be placed now, with its earliest start: the one of the
// smallest priority or, when the scheme is eager, of those that can start first.
func (s *serial) next() (int, worktime.Instant) {
	if !s.eager {
		i := int(s.queue.pop())
		return i, s.earliest(i)
	}
	for {
		best := 0
		for k, i := range s.queue.items {
			if o := s.queue.items[best]; s.soonest[i] < s.soonest[o] || s.soonest[i] == s.soonest[o] && s.before(i, o) {
				best = k
			}
		}
		i := s.queue.items[best]
		t := s.earliest(int(i))
		if t <= s.soonest[i] || t >= worktime.Never {
			return int(s.queue.remove(best)), t
		}
		s.soonest[i] = t
	}
}

func (s *serial) reset() {
	g := s.p.Graph
	s.blocked, s.barred = s.blocked[:0], nil
	s.queue.items = s.queue.items[:0]
	for l := range s.profiles {
		s.profiles[l].reset()
	}
	for i := range s.placed {
		s.soonest[i] = worktime.Ever
		s.placed[i] = g.Progress[i] == network.Done
		s.waiting[i] = 0
		if s.placed[i] {
			s.t.Start[i], s.t.Finish[i] = g.Began[i], g.Ended[i]
		}
	}
	for k := range g.Arcs {
		if a := &g.Arcs[k]; s.orders(a) && !s.placed[a.From] {
			s.waiting[a.To]++
		}
	}
	for _, steps := range s.after {
		for _, i := range steps {
			s.waiting[i]++
		}
	}
	for u := range s.p.Uses {
		if use := &s.p.Uses[u]; s.p.heldAlready(use) {
			s.profiles[use.Limit].add(g.AsOf, worktime.Never, use.Amount)
		}
	}
	for i := range s.placed {
		if !s.placed[i] && s.waiting[i] == 0 {
			s.queue.items = append(s.queue.items, int32(i))
		}
	}
	s.queue.init()
}

// orders says whether an arc keeps its to step from being placed before its from step.
func (s *serial) orders(a *network.Arc) bool { return !a.Most && !a.Dropped && a.From != a.To }

// earliest is the least start of step i that its waits, calendar and limits allow,
// Never when an occupation without an end yet is in the way.
func (s *serial) earliest(i int) worktime.Instant {
	g := s.p.Graph
	t := s.least[i]
	for _, k := range g.In(i) {
		a := &g.Arcs[k]
		if a.Dropped || !s.placed[a.From] {
			continue
		}
		if from, _ := g.LeastStart(a, &s.t); from > t {
			t = from
		}
	}
	return s.fit(i, g.StartFrom(i, t))
}

// fit moves a start on until every limit has room from start to finish.
func (s *serial) fit(i int, t worktime.Instant) worktime.Instant {
	g := s.p.Graph
	for moved := true; moved && t < worktime.Never; {
		moved = false
		finish := g.FinishOf(i, t)
		for _, u := range s.p.opens[i] {
			use := &s.p.Uses[u]
			if s.p.heldAlready(use) {
				continue
			}
			to := finish
			if use.To != use.From {
				to = worktime.Never
			}
			end, ok := s.profiles[use.Limit].clash(t, to, s.p.Limits[use.Limit].Size-use.Amount-s.besides(u))
			if !ok {
				if end >= worktime.Never {
					return worktime.Never
				}
				t, moved = g.StartFrom(i, end), true
				break
			}
		}
	}
	return t
}

// besides is what a step takes of the same limit by an occupation that it begins.
func (s *serial) besides(u int32) int32 {
	use := &s.p.Uses[u]
	if use.Occupation >= 0 {
		return 0
	}
	sum := int32(0)
	for _, v := range s.p.opens[use.From] {
		if o := &s.p.Uses[v]; o.Occupation >= 0 && o.Limit == use.Limit && !s.p.heldAlready(o) {
			sum += o.Amount
		}
	}
	return sum
}

// latest is the greatest start of step i that the placed steps and its pin allow.
func (s *serial) latest(i int) worktime.Instant {
	g := s.p.Graph
	t := g.Upper[i]
	for k := range g.Out(i) {
		if a := &g.Out(i)[k]; !a.Dropped && s.placed[a.To] && int(a.To) != i {
			t = min(t, g.GreatestStart(a, &s.t))
		}
	}
	return t
}

func (s *serial) place(i int, t worktime.Instant) {
	g := s.p.Graph
	s.t.Start[i], s.t.Finish[i] = t, g.FinishOf(i, t)
	s.placed[i] = true
	s.open(i, t)
	for _, u := range s.p.shuts[i] {
		use := &s.p.Uses[u]
		if s.placed[use.From] || s.p.heldAlready(use) {
			s.profiles[use.Limit].add(max(s.t.Finish[i], s.heldFrom(use)), worktime.Never, -use.Amount)
		}
	}
	if len(s.p.shuts[i]) > 0 {
		for _, b := range s.blocked {
			s.soonest[b] = worktime.Ever
			s.queue.push(b)
		}
		s.blocked = s.blocked[:0]
	}
	for k := range g.Out(i) {
		if a := &g.Out(i)[k]; s.orders(a) {
			s.release(a.To)
		}
	}
	for _, j := range s.after[int32(i)] {
		s.release(j)
	}
}

// release takes one off what a step waits for.
func (s *serial) release(j int32) {
	if s.placed[j] {
		return
	}
	if s.waiting[j]--; s.waiting[j] == 0 {
		s.queue.push(j)
	}
}

// open takes the limits that begin with step i, placed at t.
func (s *serial) open(i int, t worktime.Instant) {
	for _, u := range s.p.opens[i] {
		use := &s.p.Uses[u]
		if s.p.heldAlready(use) {
			continue
		}
		to := s.t.Finish[i]
		if use.To != use.From {
			to = worktime.Never
			if s.placed[use.To] {
				to = s.t.Finish[use.To]
			}
		}
		s.profiles[use.Limit].add(t, to, use.Amount)
	}
}

// heldFrom is when an occupation's use began.
func (s *serial) heldFrom(use *Use) worktime.Instant {
	if s.p.heldAlready(use) {
		return s.p.Graph.AsOf
	}
	return s.t.Start[use.From]
}

func (s *serial) result() Schedule {
	t := network.NewTimes(s.p.Graph.Steps())
	copy(t.Start, s.t.Start)
	copy(t.Finish, s.t.Finish)
	out := s.p.measured(t)
	out.Barred = s.barred
	return out
}
