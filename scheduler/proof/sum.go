package proof

// Sum is a budget for how late steps are, all together: the time by which each of
// them finishes past its due time, where it does, adds up to no more than Most.
type Sum struct {
	Most  int64
	Terms []Term
}

// Term is a step and the time by which it is due to finish; no step has two.
type Term struct {
	Step int32
	Due  int64
}

// Budget demands that the model's sum is no more than this, from now on. The model has
// one.
func (f *Search) Budget(most int64) {
	f.s.back(0)
	if t := &f.s.sum; most < t.most {
		t.most, t.dirty = most, true
	}
}

// sum propagates a model's budget: each step may be late by what is left of it when
// all others are as early as their bounds let them be. It is explained by the least
// starts of those others, each as early as the budget would still be used up.
type sum struct {
	most  int64
	terms []Term
	of    []bool  // by step: it has a term
	late  []int64 // by term: how late it is at the least, working memory
	dirty bool
}

func (t *sum) open(s *solver) {
	if s.m.Sum == nil {
		return
	}
	t.most, t.terms, t.dirty = s.m.Sum.Most, s.m.Sum.Terms, true
	t.of, t.late = make([]bool, len(s.limitsOf)), make([]int64, len(t.terms))
	for _, term := range t.terms {
		t.of[term.Step] = true
	}
}

// risen notes that a side has risen.
func (t *sum) risen(side int32) {
	if t.of != nil && side&1 == 0 && t.of[side>>1] {
		t.dirty = true
	}
}

// propagate bounds the latest starts of the steps. It returns false at a conflict,
// after which it has to be asked again.
func (t *sum) propagate(s *solver) bool {
	if !t.dirty {
		return true
	}
	at := int32(len(s.trail))
	total := int64(0)
	for k, term := range t.terms {
		t.late[k] = max(0, s.finish(term.Step, s.least(term.Step))-term.Due)
		total += t.late[k]
	}
	if total > t.most {
		s.conflict = t.because(s, s.conflict[:0], -1, t.most+1, at)
		return false
	}
	for k, term := range t.terms {
		last := s.startPast(term.Step, term.Due+t.most-total+t.late[k]) - 1
		if last < s.greatest(term.Step) && !s.set(atMost(term.Step, last), reason{kind: bySum, size: at}) {
			return false
		}
	}
	t.dirty = false
	return true
}

// explain appends why a step cannot start later than a literal says: the others are
// so late that the next possible start would be beyond the budget. The reason's size
// is how long the trail was.
func (t *sum) explain(s *solver, list []literal, l literal, at int32) []literal {
	x := l.side >> 1
	next := 1 - l.value
	if s.plain == nil {
		next = s.m.Times.StartFrom(x, next)
	}
	own := int64(0)
	for _, term := range t.terms {
		if term.Step == x {
			own = max(0, s.finish(x, next)-term.Due)
		}
	}
	return t.because(s, list, x, t.most+1-own, at)
}

// because appends literals by which steps other than one are late by a need, all
// together, as bounds were when the trail had a length. What they are late beyond the
// need lets the literals say less: first whole steps are left out, then the others
// are let be earlier.
func (t *sum) because(s *solver, list []literal, but int32, need int64, at int32) []literal {
	spare := -need
	for k, term := range t.terms {
		t.late[k] = 0
		if term.Step != but {
			t.late[k] = max(0, s.finish(term.Step, s.valueAt(2*term.Step, at))-term.Due)
		}
		spare += t.late[k]
	}
	for k, d := range t.late {
		if d <= spare {
			spare -= d
			t.late[k] = 0
		}
	}
	for k, term := range t.terms {
		d := t.late[k]
		if d == 0 {
			continue
		}
		start := s.startPast(term.Step, term.Due+d-spare-1)
		spare -= d - (s.finish(term.Step, start) - term.Due)
		list = append(list, atLeast(term.Step, start))
	}
	return list
}

// valueAt is what a side had reached when the trail had a length.
func (s *solver) valueAt(side, at int32) int64 {
	v := s.bound[side]
	for e := s.last[side]; e >= at; e = s.trail[e].prev {
		v = s.trail[e].before
	}
	return v
}
