package proof

// solver is the state of a search. Its slices grow and shrink with the trail and
// are used again: propagation makes no garbage.
type solver struct {
	m     *Model
	plain *Plain // the model's times when they are plain: saves calls in the hot loops

	bound  []int64 // by side
	last   []int32 // by side: its last event, -1: none
	trail  []event
	levels []mark // where each decision level begins
	notes  []literal
	head   int // the first event that has not been propagated

	atoms   atoms
	clauses []clause
	written []entry   // the literals of all clauses
	soon    []soon    // by step, see soonest
	out     [][]int32 // by step: arcs that leave it
	in      [][]int32

	limitsOf [][]int32 // by step: limits that it is a task of
	tables   []timetable
	sum      sum
	orders   orders
	near     near
	dirty    []bool // by limit
	queue    []int32

	conflict []literal
	clashed  bool
	refuted  bool // the model has no schedule any more

	analysis
	branching
	Steps int64 // conflicts and decisions so far: the measure of effort
}

// soon is a step's finish for a start.
type soon struct {
	start, finish int64
	known         bool
}

// mark is where a level begins.
type mark struct{ trail, notes, popped int32 }

func newSolver(m *Model) *solver {
	pairs := findOrders(m)
	n := len(m.Lo) + len(pairs.pairs)
	s := &solver{
		m: m, orders: pairs, bound: make([]int64, 2*n), last: make([]int32, 2*n), atoms: atoms{of: make([][]atomAt, n)},
		soon: make([]soon, len(m.Lo)), out: make([][]int32, n), in: make([][]int32, n), limitsOf: make([][]int32, n),
		tables: make([]timetable, len(m.Limits)), dirty: make([]bool, len(m.Limits)),
	}
	s.plain, _ = m.Times.(*Plain)
	for x := range n {
		s.bound[2*x+1] = -1
		if x < len(m.Lo) {
			s.bound[2*x], s.bound[2*x+1] = m.Lo[x], -m.Hi[x]
		}
		s.last[2*x], s.last[2*x+1] = -1, -1
	}
	for k := range m.Arcs {
		a := &m.Arcs[k]
		s.out[a.From] = append(s.out[a.From], int32(k))
		s.in[a.To] = append(s.in[a.To], int32(k))
	}
	for l := range m.Limits {
		s.tables[l].open(s, int32(l))
		s.touch(int32(l))
	}
	s.sum.open(s)
	s.startBranching()
	s.refuted = s.startless() || !s.begin()
	return s
}

// startless says whether the model leaves a step no start from the outset. Decisions
// rest on every step having one.
func (s *solver) startless() bool {
	for x := range s.m.Lo {
		if s.m.Lo[x] > s.m.Hi[x] {
			return true
		}
	}
	return false
}

func (s *solver) least(x int32) int64    { return s.bound[2*x] }
func (s *solver) greatest(x int32) int64 { return -s.bound[2*x+1] }
func (s *solver) settled(x int32) bool   { return s.bound[2*x] == -s.bound[2*x+1] }

// finish is when step x finishes if it starts at t.
func (s *solver) finish(x int32, t int64) int64 {
	if s.plain != nil {
		return t + s.plain.Length[x]
	}
	return s.m.Times.Finish(x, t)
}

// soonest is when step x finishes if it starts at its least start. Calendars are asked
// only when that has moved.
func (s *solver) soonest(x int32) int64 {
	t := s.least(x)
	if s.plain != nil {
		return t + s.plain.Length[x]
	}
	if c := &s.soon[x]; c.start != t || !c.known {
		*c = soon{start: t, finish: s.m.Times.Finish(x, t), known: true}
	}
	return s.soon[x].finish
}

// startPast is the least start of step x with which it finishes after t.
func (s *solver) startPast(x int32, t int64) int64 {
	if s.plain != nil {
		return t + 1 - s.plain.Length[x]
	}
	return s.m.Times.StartPast(x, t)
}

// touch puts a limit among those to be propagated.
func (s *solver) touch(l int32) {
	if !s.dirty[l] {
		s.dirty[l] = true
		s.queue = append(s.queue, l)
	}
}

// begin draws what follows from the bounds that the model came with. It returns false
// when they leave no schedule.
func (s *solver) begin() bool {
	for side := range int32(len(s.bound)) {
		if value := s.bound[side]; !s.propagateArcs(side, value) || side < 2*s.orders.first && !s.propagateOrders(side, value) {
			return false
		}
	}
	return s.propagate()
}

// propagate draws all that follows from the bounds. It returns false at a conflict.
func (s *solver) propagate() bool {
	for {
		for s.head < len(s.trail) {
			e := int32(s.head)
			s.head++
			side, value := s.trail[e].side, s.trail[e].value
			if !s.propagateClauses(e) || !s.propagateArcs(side, value) || !s.propagateOrders(side, value) {
				return s.stop()
			}
			s.sum.risen(s.trail[e].side)
			for _, l := range s.limitsOf[s.trail[e].side>>1] {
				s.touch(l)
			}
		}
		if s.sum.dirty {
			if !s.sum.propagate(s) {
				return s.stop()
			}
			continue
		}
		if len(s.queue) == 0 {
			return true
		}
		l := s.queue[len(s.queue)-1]
		s.queue = s.queue[:len(s.queue)-1]
		s.dirty[l] = false
		if !s.tables[l].propagate(s) {
			s.touch(l)
			return s.stop()
		}
	}
}

// stop ends a propagation at a conflict. Limits that were not looked at stay touched.
func (s *solver) stop() bool {
	s.head = len(s.trail)
	return false
}

// propagateArcs carries a risen bound over the arcs of its step.
func (s *solver) propagateArcs(side int32, value int64) bool {
	x := side >> 1
	if side&1 == 0 {
		for _, k := range s.out[x] {
			a := &s.m.Arcs[k]
			t := value + a.Lag
			if s.plain == nil {
				t = s.m.Times.Least(k, value)
			}
			if !s.set(atLeast(a.To, t), reason{kind: byArc, index: k}) {
				return false
			}
		}
		return true
	}
	for _, k := range s.in[x] {
		a := &s.m.Arcs[k]
		t := -value - a.Lag
		if s.plain == nil {
			t = s.m.Times.Greatest(k, -value)
		}
		if !s.set(atMost(a.From, t), reason{kind: byArc, index: k}) {
			return false
		}
	}
	return true
}

// decide opens a level with a literal of choice.
func (s *solver) decide(l literal) bool {
	s.levels = append(s.levels, mark{int32(len(s.trail)), int32(len(s.notes)), int32(len(s.popped))})
	return s.set(l, reason{})
}

// back undoes all levels above one.
func (s *solver) back(level int) {
	if len(s.levels) <= level {
		return
	}
	m := s.levels[level]
	for k := len(s.trail) - 1; k >= int(m.trail); k-- {
		e := &s.trail[k]
		s.bound[e.side], s.last[e.side] = e.before, e.prev
	}
	s.trail, s.notes = s.trail[:m.trail], s.notes[:m.notes]
	s.head = len(s.trail)
	s.levels = s.levels[:level]
	s.reopen(m.popped)
}
