package proof

import "slices"

// clause is a learned disjunction: not all of its literals can fail. Its literals lie
// one after the other with those of all clauses; the first two are watched.
type clause struct {
	at, size int32
	spread   int32 // how many decision levels it joined when it was learned
	activity float32
	gone     bool
}

// watch is an entry for a clause at the answer that makes a literal of it fail. While
// the other literal holds, the clause need not be looked at.
type watch struct {
	clause int32
	other  literal
}

// entry is a literal of a clause with the answer by which it fails.
type entry struct {
	side  int32
	fails int32
	value int64
}

func (e *entry) literal() literal { return literal{e.side, e.value} }

// entries are the literals of a clause.
func (s *solver) entries(c int32) []entry {
	k := &s.clauses[c]
	return s.written[k.at : k.at+k.size]
}

// learn keeps a clause whose first literal is to come true now and whose second
// was the last of the others to fail.
func (s *solver) learn(literals []literal, spread int32) int32 {
	c := int32(len(s.clauses))
	s.clauses = append(s.clauses, clause{
		at: int32(len(s.written)), size: int32(len(literals)), spread: spread, activity: s.clauseStep,
	})
	for _, l := range literals {
		s.written = append(s.written, entry{l.side, s.atoms.answer(l.not()), l.value})
	}
	if list := s.entries(c); len(list) > 1 {
		s.watch(c, &list[0], list[1].literal())
		s.watch(c, &list[1], list[0].literal())
	}
	return c
}

// watch looks at a clause when a literal of it fails, unless another one holds.
func (s *solver) watch(c int32, e *entry, other literal) {
	s.atoms.watchers[e.fails] = append(s.atoms.watchers[e.fails], watch{c, other})
}

// propagateClauses looks at the clauses of which a watched literal fails by an event.
func (s *solver) propagateClauses(e int32) bool {
	ev := &s.trail[e]
	x, yes := ev.side>>1, ev.side&1 == 1
	first, last := ev.before, ev.value-1
	if yes {
		first, last = -ev.value, -ev.before-1
	}
	for k := s.atoms.from(x, first); k < len(s.atoms.of[x]) && s.atoms.of[x][k].t <= last; k++ {
		if !s.propagateAnswer(answered(s.atoms.of[x][k].atom, yes)) {
			return false
		}
	}
	return true
}

// propagateAnswer looks at the clauses that wait for an answer, by which a literal of
// theirs fails.
func (s *solver) propagateAnswer(answer int32) bool {
	list := s.atoms.watchers[answer]
	kept := 0
	for k, w := range list {
		if s.holds(w.other) {
			list[kept] = w
			kept++
			continue
		}
		if s.clauses[w.clause].gone {
			continue
		}
		entries := s.entries(w.clause)
		if entries[0].fails == answer {
			entries[0], entries[1] = entries[1], entries[0]
		}
		first := entries[0].literal()
		holds := s.holds(first)
		if !holds && s.rewatch(w.clause, entries, first) {
			continue
		}
		list[kept] = watch{w.clause, first}
		kept++
		if !holds && !s.unit(w.clause, entries) {
			kept += copy(list[kept:], list[k+1:])
			s.atoms.watchers[answer] = list[:kept]
			return false
		}
	}
	s.atoms.watchers[answer] = list[:kept]
	return true
}

// unit makes the first literal of a clause true: all others have failed.
func (s *solver) unit(c int32, entries []entry) bool {
	if first := entries[0].literal(); !s.fails(first) {
		return s.set(first, reason{kind: byClause, index: c})
	}
	s.conflict = s.conflict[:0]
	for k := range entries {
		s.conflict = append(s.conflict, entries[k].literal().not())
	}
	s.bumpClause(c)
	return false
}

// rewatch looks for another literal of a clause that has not failed.
func (s *solver) rewatch(c int32, entries []entry, first literal) bool {
	for k := 2; k < len(entries); k++ {
		if !s.fails(entries[k].literal()) {
			entries[1], entries[k] = entries[k], entries[1]
			s.watch(c, &entries[1], first)
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
		if s.clauses[c].size > 2 && s.clauses[c].spread > 2 {
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
	kept, end := int32(0), int32(0)
	for c := range s.clauses {
		number[c] = -1
		k := s.clauses[c]
		if k.gone {
			continue
		}
		number[c] = kept
		copy(s.written[end:], s.written[k.at:k.at+k.size])
		k.at = end
		end += k.size
		s.clauses[kept] = k
		kept++
	}
	s.clauses, s.written = s.clauses[:kept], s.written[:end]
	for a := range s.atoms.watchers {
		list := s.atoms.watchers[a][:0]
		for _, w := range s.atoms.watchers[a] {
			if w.clause = number[w.clause]; w.clause >= 0 {
				list = append(list, w)
			}
		}
		s.atoms.watchers[a] = list
	}
}
