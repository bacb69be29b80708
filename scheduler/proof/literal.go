package proof

// Bounds are kept as numbers that only rise: side 2x of step x is its least start,
// side 2x+1 its greatest start negated. A literal says that a side has reached a
// value; the two sides of a step thus share all code.
type literal struct {
	side  int32
	value int64
}

// not is the literal that holds just when l does not.
func (l literal) not() literal { return literal{l.side ^ 1, 1 - l.value} }

// atLeast says that step x starts at t or later.
func atLeast(x int32, t int64) literal { return literal{2 * x, t} }

// atMost says that step x starts at t or earlier.
func atMost(x int32, t int64) literal { return literal{2*x + 1, -t} }

// event is one rise of a bound, with what made it.
type event struct {
	side   int32
	level  int32
	value  int64
	before int64 // the bound before it
	prev   int32 // the event before it on the same side, -1: none
	reason reason
}

// reason is what made an event: nothing (a decision), an arc, a clause, or literals
// kept in the solver's notes.
type reason struct {
	kind  reasonKind
	index int32 // arc or clause, or where the notes begin
	size  int32 // how many notes; of a sum how long the trail was
}

type reasonKind uint8

const (
	decision reasonKind = iota
	byArc
	byClause
	byNotes
	bySum
	byOrder
)

// holds says whether a literal is true now.
func (s *solver) holds(l literal) bool { return s.bound[l.side] >= l.value }

// fails says whether a literal is false now.
func (s *solver) fails(l literal) bool { return s.bound[l.side^1] >= 1-l.value }

// made is the event that made a true literal true, -1: it was so from the outset.
func (s *solver) made(l literal) int32 {
	e := s.last[l.side]
	for e >= 0 && s.trail[e].before >= l.value {
		e = s.trail[e].prev
	}
	return e
}

// set makes a literal true for a reason. It returns false when that leaves its step
// no start; the conflict is then in s.conflict.
func (s *solver) set(l literal, r reason) bool {
	if s.holds(l) {
		return true
	}
	value := s.align(l)
	if other := s.bound[l.side^1]; value > -other {
		s.clash(l, r)
		return false
	}
	s.trail = append(s.trail, event{
		side: l.side, level: int32(len(s.levels)), value: value, before: s.bound[l.side], prev: s.last[l.side], reason: r,
	})
	s.last[l.side] = int32(len(s.trail) - 1)
	s.bound[l.side] = value
	return true
}

// align is the value a side takes when a literal of it comes true: the nearest
// possible start.
func (s *solver) align(l literal) int64 {
	x := l.side >> 1
	if s.plain != nil || x >= s.orders.first {
		return l.value
	}
	if l.side&1 == 0 {
		return s.m.Times.StartFrom(x, l.value)
	}
	return -s.m.Times.LastStartBy(x, -l.value)
}

// clash notes the conflict between a literal that is to come true for a reason and
// the other bound of its step.
func (s *solver) clash(l literal, r reason) {
	s.conflict = s.conflict[:0]
	s.conflict = s.explain(s.conflict, l, r)
	s.conflict = append(s.conflict, literal{l.side ^ 1, 1 - s.align(l)})
	s.clashed = true
}

// explain appends to list the literals from which a literal follows by a reason.
func (s *solver) explain(list []literal, l literal, r reason) []literal {
	switch r.kind {
	case byArc:
		a := &s.m.Arcs[r.index]
		if l.side&1 == 0 {
			if s.plain != nil {
				return append(list, atLeast(a.From, l.value-a.Lag))
			}
			return append(list, atLeast(a.From, s.m.Times.Greatest(r.index, l.value-1)+1))
		}
		if s.plain != nil {
			return append(list, atMost(a.To, -l.value+a.Lag))
		}
		return append(list, atMost(a.To, s.m.Times.Least(r.index, -l.value+1)-1))
	case byClause:
		for k := range s.entries(r.index) {
			if o := s.entries(r.index)[k].literal(); o.side != l.side {
				list = append(list, o.not())
			}
		}
	case byOrder:
		return s.explainOrder(list, l, r.index)
	case bySum:
		list = s.sum.explain(s, list, l, r.size)
	case byNotes:
		list = append(list, s.notes[r.index:r.index+r.size]...)
	}
	return list
}
