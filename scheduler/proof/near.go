package proof

// near is the part of a schedule that a search keeps: literals that are decided first.
type near struct {
	kept    []literal
	next    int  // the first that may be open
	level   int  // levels of decisions by what is kept; -1: some are still to be made
	strayed bool // what is kept leaves no schedule, as far as has been learned
}

// Near looks for a schedule in which those steps that share too little go in the order
// of another schedule, but for those that are free, until so many dead ends have been
// met (large neighbourhood search: Shaw, CP 1998). What it learns holds without what
// is kept. Exhausted says that there is no schedule that keeps all of it.
func (f *Search) Near(starts []int64, free []bool, effort int64, stop func() bool) (outcome Outcome, found []int64, exhausted bool) {
	s := f.s
	if s.refuted {
		return Refuted, nil, true
	}
	s.near = near{kept: s.near.kept[:0], level: -1}
	for k, p := range s.orders.pairs {
		if free[p.a] || free[p.b] {
			continue
		}
		value := int64(0)
		if starts[p.a] > starts[p.b] {
			value = 1
		}
		t := s.orders.turn(int32(k), value)
		s.near.kept = append(s.near.kept, literal{t.side, t.value})
	}
	aloof := s.aloof
	s.aloof = false
	outcome, found = f.result(s.run(effort, stop))
	s.aloof = aloof
	exhausted = s.near.strayed
	s.near = near{kept: s.near.kept[:0]}
	return outcome, found, exhausted
}

// decide is the next decision by what is kept.
func (n *near) decide(s *solver) (literal, bool) {
	for ; n.next < len(n.kept); n.next++ {
		if l := n.kept[n.next]; !s.holds(l) && !s.fails(l) {
			return l, true
		}
	}
	if n.level < 0 {
		n.level = len(s.levels)
	}
	return literal{}, false
}

// back notes that the search has gone back to a level.
func (n *near) back(level int) {
	n.next = 0
	n.strayed = n.level > level
}
