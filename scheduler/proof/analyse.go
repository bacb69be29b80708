package proof

// analysis is the working memory of tracing dead ends back.
type analysis struct {
	seen       []bool // by event
	need       []int64
	marked     []int32 // events seen
	lower      []int32 // those below the current level
	scratch    []literal
	learned    []literal
	levelSeen  []int32
	stamp      int32
	clauseStep float32
}

// analyse traces s.conflict back to the first literal of the current level through
// which all of it runs (first unique implication point), and leaves in s.learned the
// clause that forbids its repetition, the literal to come true first. It returns the
// level to go back to and the spread of the clause; level -1: there is no way out.
//
// Each event is asked only for the value that is needed of it, which may be less
// than it reached; the reasons answer for that value, so that clauses come out as
// weak in their causes as can be.
func (s *solver) analyse() (level int, spread int32) {
	s.resize()
	open := 0
	for _, l := range s.conflict {
		open += s.require(l)
	}
	current := int32(len(s.levels))
	if open == 0 {
		// the conflict lies wholly below this level: go there first
		top := int32(0)
		for _, e := range s.lower {
			top = max(top, s.trail[e].level)
		}
		s.forget()
		if top == 0 {
			return -1, 0
		}
		kept := append([]literal(nil), s.conflict...)
		s.back(int(top))
		s.conflict = kept
		return s.analyse()
	}
	if current == 0 {
		s.forget()
		return -1, 0
	}
	at := int32(len(s.trail)) - 1
	for ; ; at-- {
		if !s.seen[at] || s.trail[at].level != current {
			continue
		}
		if open--; open == 0 {
			break
		}
		e := &s.trail[at]
		if e.reason.kind == byClause {
			s.bumpClause(e.reason.index)
		}
		s.scratch = s.explain(s.scratch[:0], literal{e.side, s.need[at]}, e.reason)
		for _, l := range s.scratch {
			open += s.require(l)
		}
	}
	first := literal{s.trail[at].side, s.need[at]}
	s.bump(first)
	s.learned = append(s.learned[:0], first.not())
	s.collect(first)
	level, spread = s.levelsOf()
	s.forget()
	return level, spread
}

func (s *solver) resize() {
	for len(s.seen) < len(s.trail) {
		s.seen = append(s.seen, false)
		s.need = append(s.need, 0)
	}
	s.lower, s.marked = s.lower[:0], s.marked[:0]
}

// require marks the event that made a literal true. It returns 1 when that is a
// new one of the current level.
func (s *solver) require(l literal) int {
	e := s.made(l)
	if e < 0 || s.trail[e].level == 0 {
		return 0
	}
	if s.seen[e] {
		s.need[e] = max(s.need[e], l.value)
		return 0
	}
	s.seen[e], s.need[e] = true, l.value
	s.marked = append(s.marked, e)
	s.bump(l)
	if s.trail[e].level == int32(len(s.levels)) {
		return 1
	}
	s.lower = append(s.lower, e)
	return 0
}

func (s *solver) forget() {
	for _, e := range s.marked {
		s.seen[e] = false
	}
}

// collect puts the literals below the current level into the clause, but for those
// that follow from others in it.
func (s *solver) collect(first literal) {
	for _, e := range s.lower {
		ev := &s.trail[e]
		if ev.side == first.side || s.covered(e) || s.follows(e) {
			continue
		}
		s.learned = append(s.learned, literal{ev.side, s.need[e]}.not())
	}
}

// covered says whether a later event of the same side is needed too: it implies
// this one.
func (s *solver) covered(e int32) bool {
	for f := s.last[s.trail[e].side]; f > e; f = s.trail[f].prev {
		if s.seen[f] && s.trail[f].level < int32(len(s.levels)) {
			return true
		}
	}
	return false
}

// follows says whether what is needed of an event follows from others that are in
// the clause as well, so that it can be left out. A covered event does not count:
// the one that covers it may itself be left out because of it.
func (s *solver) follows(e int32) bool {
	ev := &s.trail[e]
	if ev.reason.kind == decision {
		return false
	}
	s.scratch = s.explain(s.scratch[:0], literal{ev.side, s.need[e]}, ev.reason)
	for _, l := range s.scratch {
		f := s.made(l)
		if f < 0 || s.trail[f].level == 0 {
			continue
		}
		if !s.seen[f] || s.need[f] < l.value || s.trail[f].level == int32(len(s.levels)) || s.covered(f) {
			return false
		}
	}
	return true
}

// levelsOf finds the level to go back to, puts its literal second, and counts the
// levels that the clause joins.
func (s *solver) levelsOf() (level int, spread int32) {
	s.stamp++
	for len(s.levelSeen) <= len(s.levels) {
		s.levelSeen = append(s.levelSeen, 0)
	}
	spread = 1
	for k := 1; k < len(s.learned); k++ {
		at := s.trail[s.made(s.learned[k].not())].level
		if s.levelSeen[at] != s.stamp {
			s.levelSeen[at] = s.stamp
			spread++
		}
		if int(at) > level {
			level = int(at)
			s.learned[1], s.learned[k] = s.learned[k], s.learned[1]
		}
	}
	return level, spread
}
