package levelling

import (
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// enterLoop makes the first step of a loop of waits eligible when nothing else is
// left. It returns false when everything is placed.
func (s *serial) enterLoop() bool {
	best := int32(-1)
	for i := range s.placed {
		if !s.placed[i] && (best < 0 || s.before(int32(i), best)) {
			best = int32(i)
		}
	}
	if best < 0 {
		return false
	}
	s.waiting[best] = 0
	s.queue.items = append(s.queue.items, best)
	return true
}

// bars is the uses of open occupations that keep step i out.
func (s *serial) bars(i int32) []*Use {
	var list []*Use
	for _, u := range s.p.opens[i] {
		for o := range s.p.Uses {
			occ := &s.p.Uses[o]
			if occ.Occupation >= 0 && occ.Limit == s.p.Uses[u].Limit && (s.placed[occ.From] || s.p.heldAlready(occ)) && !s.placed[occ.To] {
				list = append(list, occ)
			}
		}
	}
	return list
}

// postpone gets out of a deadlock by having a blocked step placed before the
// beginning of an occupation that keeps it out, where no wait forbids that.
func (s *serial) postpone() bool {
	for _, i := range s.blocked {
		for _, occ := range s.bars(i) {
			if s.p.Graph.Progress[occ.From] != network.Open || s.comesAfter(occ.From, i) {
				continue
			}
			if s.after == nil {
				s.after = map[int32][]int32{}
			}
			s.after[i] = append(s.after[i], occ.From)
			return true
		}
	}
	return false
}

// comesAfter says whether step i is placed after another by waits, or by what has
// been postponed.
func (s *serial) comesAfter(first, i int32) bool {
	seen := map[int32]bool{first: true}
	for stack := []int32{first}; len(stack) > 0; {
		j := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if j == i {
			return true
		}
		visit := func(k int32) {
			if !seen[k] {
				seen[k] = true
				stack = append(stack, k)
			}
		}
		for k := range s.p.Graph.Out(int(j)) {
			if a := &s.p.Graph.Out(int(j))[k]; s.orders(a) {
				visit(a.To)
			}
		}
		for _, k := range s.after[j] {
			visit(k)
		}
	}
	return false
}

// force places the first blocked step against the open occupations that keep it
// out, and against nothing else: the step is barred.
func (s *serial) force() {
	best := 0
	for k := range s.blocked {
		if s.before(s.blocked[k], s.blocked[best]) {
			best = k
		}
	}
	i := s.blocked[best]
	s.blocked = append(s.blocked[:best], s.blocked[best+1:]...)
	bars := s.bars(i)
	for _, occ := range bars {
		s.profiles[occ.Limit].add(s.heldFrom(occ), worktime.Never, -occ.Amount)
		s.barred = append(s.barred, Bar{Occupation: occ.Occupation, Step: i})
	}
	t := s.earliest(int(i))
	for _, occ := range bars {
		s.profiles[occ.Limit].add(s.heldFrom(occ), worktime.Never, occ.Amount)
	}
	s.place(int(i), t)
}
