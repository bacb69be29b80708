package proof

import "slices"

// clause is a learned disjunction: not all of its literals can fail. The first two
// are watched.
type clause struct {
	literals []literal
	activity float32
	spread   int32 // how many decision levels it joined when it was learned
	gone     bool
}

// watch is an entry for a clause on the side whose rise makes a literal of it fail.
type watch struct {
	clause int32
	from   int64 // the value from which on it fails
}

// learn keeps a clause whose first literal is to come true now and whose second
// was the last of the others to fail.
func (s *solver) learn(literals []literal, spread int32) int32 {
	c := int32(len(s.clauses))
	s.clauses = append(s.clauses, clause{literals: slices.Clone(literals), spread: spread, activity: s.clauseStep})
	if len(literals) > 1 {
		s.watch(c, literals[0])
		s.watch(c, literals[1])
	}
	return c
}

func (s *solver) watch(c int32, l literal) {
	n := l.not()
	s.watches[n.side] = append(s.watches[n.side], watch{c, n.value})
}

// propagateClauses looks at the clauses of which a watched literal fails by an event.
func (s *solver) propagateClauses(e int32) bool {
	side, value, before := s.trail[e].side, s.trail[e].value, s.trail[e].before
	list := s.watches[side]
	kept := 0
	for k := range list {
		w := list[k]
		if w.from > value || w.from <= before {
			list[kept] = w
			kept++
			continue
		}
		c := &s.clauses[w.clause]
		if c.gone {
			continue
		}
		failed := literal{side, w.from}.not()
		if c.literals[0] == failed {
			c.literals[0], c.literals[1] = c.literals[1], c.literals[0]
		}
		if s.holds(c.literals[0]) {
			list[kept] = w
			kept++
			continue
		}
		if s.rewatch(w.clause, c) {
			continue
		}
		list[kept] = w
		kept++
		if s.fails(c.literals[0]) {
			s.conflict = s.conflict[:0]
			for _, l := range c.literals {
				s.conflict = append(s.conflict, l.not())
			}
			s.bumpClause(w.clause)
			kept += copy(list[kept:], list[k+1:])
			s.watches[side] = list[:kept]
			return false
		}
		if !s.set(c.literals[0], reason{kind: byClause, index: w.clause}) {
			kept += copy(list[kept:], list[k+1:])
			s.watches[side] = list[:kept]
			return false
		}
	}
	s.watches[side] = list[:kept]
	return true
}

// rewatch looks for another literal of a clause that has not failed.
func (s *solver) rewatch(index int32, c *clause) bool {
	for k := 2; k < len(c.literals); k++ {
		if l := c.literals[k]; !s.fails(l) {
			c.literals[1], c.literals[k] = l, c.literals[1]
			s.watch(index, l)
			return true
		}
	}
	return false
}

func (s *solver) bumpClause(c int32) {
	s.clauses[c].activity += s.clauseStep
	if s.clauses[c].activity > 1e20 {
		for k := range s.clauses {
			s.clauses[k].activity *= 1e-20
		}
		s.clauseStep *= 1e-20
	}
}

// reduce lets half of the learned clauses go, the widest spread and least used
// first, at level 0 where none of them is a reason that counts.
func (s *solver) reduce() {
	order := make([]int32, 0, len(s.clauses))
	for c := range s.clauses {
		if len(s.clauses[c].literals) > 2 && s.clauses[c].spread > 2 {
			order = append(order, int32(c))
		}
	}
	slices.SortFunc(order, func(a, b int32) int {
		x, y := &s.clauses[a], &s.clauses[b]
		switch {
		case x.activity < y.activity:
			return -1
		case x.activity > y.activity:
			return 1
		}
		return int(a - b)
	})
	for _, c := range order[:len(order)/2] {
		s.clauses[c].gone = true
	}
	s.sweep()
}

// sweep closes the gaps that clauses which are gone have left.
func (s *solver) sweep() {
	number := make([]int32, len(s.clauses))
	kept := int32(0)
	for c := range s.clauses {
		number[c] = -1
		if s.clauses[c].gone {
			continue
		}
		number[c] = kept
		s.clauses[kept] = s.clauses[c]
		kept++
	}
	clear(s.clauses[kept:])
	s.clauses = s.clauses[:kept]
	for side := range s.watches {
		list := s.watches[side][:0]
		for _, w := range s.watches[side] {
			if number[w.clause] >= 0 {
				list = append(list, watch{number[w.clause], w.from})
			}
		}
		s.watches[side] = list
	}
}
