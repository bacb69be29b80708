package proof

// branching is the choice of decisions: what has come up most and latest in dead
// ends is asked first (VSIDS: Moskewicz and others, DAC 2001).
type branching struct {
	heap     []int32 // atoms, the most active first
	popped   []int32 // atoms taken out of the heap because they were answered
	atomStep float64
	guide    []int64 // starts of the best schedule, which answers follow; nil: none
	aloof    bool    // answer early instead of as the guide does
	lowest   bool    // decide first that the goal starts at its least
	byStart  bool    // decide by least start alone
	runs     int64   // how often the search has started
	most     int     // learned clauses that may be kept
}

func (s *solver) startBranching() {
	s.most = 8000
	s.atomStep, s.clauseStep = 1, 1
}

// bump raises the activity of a literal's atom.
func (s *solver) bump(l literal) {
	a := s.atoms.atom(l.asks())
	at := &s.atoms.list[a]
	at.activity += s.atomStep
	switch {
	case at.heapAt == -2:
		s.push(a)
	case at.heapAt >= 0:
		s.up(at.heapAt)
	}
	if at.activity > 1e100 {
		for k := range s.atoms.list {
			s.atoms.list[k].activity *= 1e-100
		}
		s.atomStep *= 1e-100
	}
}

// decay lets older dead ends count less.
func (s *solver) decay() {
	s.atomStep /= 0.95
	s.clauseStep /= 0.999
}

// choose is the next decision; ok is false when every start is settled.
func (s *solver) choose() (literal, bool) {
	if goal := s.m.Goal; s.lowest && !s.settled(goal) {
		return atMost(goal, s.least(goal)), true
	}
	if !s.byStart {
		for len(s.heap) > 0 {
			a := s.heap[0]
			at := &s.atoms.list[a]
			if s.greatest(at.x) <= at.t || s.least(at.x) > at.t {
				s.pop()
				s.popped = append(s.popped, a)
				continue
			}
			if s.guide != nil && !s.aloof && s.guide[at.x] > at.t {
				return atLeast(at.x, at.t+1), true
			}
			return atMost(at.x, at.t), true
		}
	}
	return s.earliest()
}

// earliest starts the step with the least possible start then; of several the one
// with the least room.
func (s *solver) earliest() (literal, bool) {
	best := int32(-1)
	for x := range s.orders.first {
		if s.settled(x) {
			continue
		}
		if best < 0 || s.least(x) < s.least(best) || s.least(x) == s.least(best) && s.greatest(x) < s.greatest(best) {
			best = x
		}
	}
	if best < 0 {
		return literal{}, false
	}
	return atMost(best, s.least(best)), true
}

// reopen puts atoms back that were answered on levels that are undone.
func (s *solver) reopen(from int32) {
	for _, a := range s.popped[from:] {
		if s.atoms.list[a].heapAt < 0 {
			s.push(a)
		}
	}
	s.popped = s.popped[:from]
}

func (s *solver) push(a int32) {
	s.atoms.list[a].heapAt = int32(len(s.heap))
	s.heap = append(s.heap, a)
	s.up(s.atoms.list[a].heapAt)
}

func (s *solver) pop() {
	top := s.heap[0]
	last := s.heap[len(s.heap)-1]
	s.heap = s.heap[:len(s.heap)-1]
	s.atoms.list[top].heapAt = -1
	if top != last {
		s.heap[0] = last
		s.atoms.list[last].heapAt = 0
		s.down(0)
	}
}

func (s *solver) up(k int32) {
	a := s.heap[k]
	for k > 0 {
		parent := (k - 1) / 2
		if s.atoms.list[s.heap[parent]].activity >= s.atoms.list[a].activity {
			break
		}
		s.heap[k] = s.heap[parent]
		s.atoms.list[s.heap[k]].heapAt = k
		k = parent
	}
	s.heap[k] = a
	s.atoms.list[a].heapAt = k
}

func (s *solver) down(k int32) {
	a := s.heap[k]
	for {
		child := 2*k + 1
		if int(child) >= len(s.heap) {
			break
		}
		if r := child + 1; int(r) < len(s.heap) && s.atoms.list[s.heap[r]].activity > s.atoms.list[s.heap[child]].activity {
			child = r
		}
		if s.atoms.list[s.heap[child]].activity <= s.atoms.list[a].activity {
			break
		}
		s.heap[k] = s.heap[child]
		s.atoms.list[s.heap[k]].heapAt = k
		k = child
	}
	s.heap[k] = a
	s.atoms.list[a].heapAt = k
}
