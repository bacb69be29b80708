package levelling

// raise makes the step that is placed too early for the late step i start later.
func (s *serial) raise(i int) bool {
	g := s.p.Graph
	for k := range g.Out(i) {
		a := &g.Out(i)[k]
		if a.Dropped || !s.placed[a.To] || int(a.To) == i || s.t.Start[i] <= g.GreatestStart(a, &s.t) {
			continue
		}
		if g.Fixed(a.To, a.ToEnd) {
			return false
		}
		from, _ := g.LeastStart(a, &s.t)
		s.least[a.To] = max(from, s.least[a.To]+1)
		return s.least[a.To].Known()
	}
	return s.promote(i)
}

// promote lets a pinned step, and all it waits for, go before everything else.
func (s *serial) promote(i int) bool {
	const first = -1 << 50
	if s.priority[i] <= first {
		return false
	}
	s.priority = append([]int64(nil), s.priority...)
	stack := []int32{int32(i)}
	for len(stack) > 0 {
		j := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if s.priority[j] <= first {
			continue
		}
		s.priority[j] = first
		for _, k := range s.p.Graph.In(int(j)) {
			if a := &s.p.Graph.Arcs[k]; s.orders(a) {
				stack = append(stack, a.From)
			}
		}
	}
	return true
}
