package proof

// atom is a question that has come up in a dead end: does step x start by t? The
// search asks first what has come up most and latest (VSIDS: Moskewicz and others,
// DAC 2001).
type atom struct {
	x        int32
	t        int64
	activity float64
	heapAt   int32 // -1: not in the heap
}

// branching is the choice of decisions.
type branching struct {
	atoms    []atom
	atomOf   map[atomKey]int32
	heap     []int32
	popped   []int32 // atoms taken out of the heap because they were answered
	atomStep float64
	guide    []int64 // starts of the best schedule, which answers follow; nil: none
	byStart  bool    // decide by least start alone
	runs     int64   // how often the search has started
	most     int     // learned clauses that may be kept
}

type atomKey struct {
	x int32
	t int64
}

func (s *solver) startBranching() {
	s.atomOf, s.most = map[atomKey]int32{}, 8000
	s.atomStep, s.clauseStep = 1, 1
}

// bump raises the activity of a literal's atom.
func (s *solver) bump(l literal) {
	x, t := l.side>>1, l.value-1
	if l.side&1 == 1 {
		t = -l.value
	}
	key := atomKey{x, t}
	a, ok := s.atomOf[key]
	if !ok {
		a = int32(len(s.atoms))
		s.atoms = append(s.atoms, atom{x: x, t: t, heapAt: -1})
		s.atomOf[key] = a
		s.atoms[a].activity = s.atomStep
		s.push(a)
	} else {
		s.atoms[a].activity += s.atomStep
		if s.atoms[a].heapAt >= 0 {
			s.up(s.atoms[a].heapAt)
		}
	}
	if s.atoms[a].activity > 1e100 {
		for k := range s.atoms {
			s.atoms[k].activity *= 1e-100
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
	if !s.byStart {
		for len(s.heap) > 0 {
			a := s.heap[0]
			at := &s.atoms[a]
			if s.greatest(at.x) <= at.t || s.least(at.x) > at.t {
				s.pop()
				s.popped = append(s.popped, a)
				continue
			}
			if s.guide != nil && s.guide[at.x] > at.t {
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
	for x := range int32(len(s.bound) / 2) {
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
		if s.atoms[a].heapAt < 0 {
			s.push(a)
		}
	}
	s.popped = s.popped[:from]
}

func (s *solver) push(a int32) {
	s.atoms[a].heapAt = int32(len(s.heap))
	s.heap = append(s.heap, a)
	s.up(s.atoms[a].heapAt)
}

func (s *solver) pop() {
	top := s.heap[0]
	last := s.heap[len(s.heap)-1]
	s.heap = s.heap[:len(s.heap)-1]
	s.atoms[top].heapAt = -1
	if top != last {
		s.heap[0] = last
		s.atoms[last].heapAt = 0
		s.down(0)
	}
}

func (s *solver) up(k int32) {
	a := s.heap[k]
	for k > 0 {
		parent := (k - 1) / 2
		if s.atoms[s.heap[parent]].activity >= s.atoms[a].activity {
			break
		}
		s.heap[k] = s.heap[parent]
		s.atoms[s.heap[k]].heapAt = k
		k = parent
	}
	s.heap[k] = a
	s.atoms[a].heapAt = k
}

func (s *solver) down(k int32) {
	a := s.heap[k]
	for {
		child := 2*k + 1
		if int(child) >= len(s.heap) {
			break
		}
		if r := child + 1; int(r) < len(s.heap) && s.atoms[s.heap[r]].activity > s.atoms[s.heap[child]].activity {
			child = r
		}
		if s.atoms[s.heap[child]].activity <= s.atoms[a].activity {
			break
		}
		s.heap[k] = s.heap[child]
		s.atoms[s.heap[k]].heapAt = k
		k = child
	}
	s.heap[k] = a
	s.atoms[a].heapAt = k
}
