package proof

// orders decides who goes first of two steps that a limit has no room for at the
// same time. Each such pair is a variable of its own beside the starts: its value 0
// says that the first step ends before the second begins, 1 the other way round. The
// table sees a pair only when one of the two is bound to run, and dead ends that speak
// of orders rule out more than those that speak of times alone (half-reified
// precedences: Schutt, Feydy, Stuckey and Wallace, J. of Scheduling 16, 2013).
type orders struct {
	pairs  []pair
	first  int32    // the variable of the first pair
	ends   [][]turn // by step: the orders in which it goes first
	begins [][]turn // by step: those in which it goes second
}

// pair is two steps of which one must end before the other begins.
type pair struct{ a, b int32 }

// turn is one of the two orders of a pair: before one step may start, another must
// have finished.
type turn struct {
	pair  int32
	side  int32 // of the pair's variable; it reaches value in this order
	from  int32 // the step that must have finished
	to    int32 // the step that may start then
	value int64
}

// mostPairs is how many pairs a model may have; beyond it the tables must do.
const mostPairs = 20_000

// findOrders finds the pairs of a model whose order is not fixed by waits. Occupations
// are left to the tables.
func findOrders(m *Model) orders {
	var o orders
	before := waited(m)
	known := map[pair]bool{}
	for l := range m.Limits {
		tasks := m.Limits[l].Tasks
		for i := range tasks {
			for j := i + 1; j < len(tasks) && len(o.pairs) < mostPairs; j++ {
				x, y := tasks[i].From, tasks[j].From
				p := pair{min(x, y), max(x, y)}
				switch {
				case tasks[i].Amount+tasks[j].Amount <= m.Limits[l].Size, known[p], x == y:
				case tasks[i].To != x || tasks[j].To != y:
				case m.Times.Finish(x, m.Lo[x]) == m.Lo[x] || m.Times.Finish(y, m.Lo[y]) == m.Lo[y]:
				case before(x, y) || before(y, x):
				default:
					known[p] = true
					o.pairs = append(o.pairs, p)
				}
			}
		}
	}
	o.first = int32(len(m.Lo))
	o.ends, o.begins = make([][]turn, len(m.Lo)), make([][]turn, len(m.Lo))
	for k := range o.pairs {
		for _, t := range [...]turn{o.turn(int32(k), 0), o.turn(int32(k), 1)} {
			o.ends[t.from] = append(o.ends[t.from], t)
			o.begins[t.to] = append(o.begins[t.to], t)
		}
	}
	return o
}

// turn is the order of a pair that a value of its variable stands for.
func (o *orders) turn(k int32, value int64) turn {
	p := &o.pairs[k]
	if value == 0 {
		return turn{pair: k, side: 2*(o.first+k) + 1, value: 0, from: p.a, to: p.b}
	}
	return turn{pair: k, side: 2 * (o.first + k), value: 1, from: p.b, to: p.a}
}

// waited says of two steps whether waits let the second start only when the first
// has finished, as far as single waits at the least starts tell.
func waited(m *Model) func(first, then int32) bool {
	n := len(m.Lo)
	after := make([][]int32, n)
	for k := range m.Arcs {
		a := &m.Arcs[k]
		if m.Times.Least(int32(k), m.Lo[a.From]) >= m.Times.Finish(a.From, m.Lo[a.From]) {
			after[a.From] = append(after[a.From], a.To)
		}
	}
	reach := make([][]bool, n)
	return func(first, then int32) bool {
		if reach[first] == nil {
			reach[first] = make([]bool, n)
			for stack := []int32{first}; len(stack) > 0; {
				x := stack[len(stack)-1]
				stack = stack[:len(stack)-1]
				for _, y := range after[x] {
					if !reach[first][y] {
						reach[first][y] = true
						stack = append(stack, y)
					}
				}
			}
		}
		return reach[first][then]
	}
}

// propagateOrders draws what a risen bound means for the orders of its step, or what
// an order that has been settled means for its steps.
func (s *solver) propagateOrders(side int32, value int64) bool {
	o := &s.orders
	x := side >> 1
	switch {
	case x >= o.first:
		return s.propagateTurn(o.turn(x-o.first, int64(1-side&1)))
	case side&1 == 0:
		return len(o.ends[x]) == 0 || s.goesFirst(x, s.finish(x, value))
	}
	return s.goesSecond(x, -value)
}

// goesFirst looks at the orders in which a step goes first that ends at the earliest
// at a time.
func (s *solver) goesFirst(x int32, end int64) bool {
	for k := range s.orders.ends[x] {
		t := &s.orders.ends[x][k]
		if s.bound[t.side] >= t.value {
			if !s.set(atLeast(t.to, end), t.reason()) {
				return false
			}
		} else if end > s.greatest(t.to) && !s.exclude(t) {
			return false
		}
	}
	return true
}

// goesSecond looks at the orders in which a step goes second that begins at the latest
// at a time.
func (s *solver) goesSecond(x int32, begin int64) bool {
	for k := range s.orders.begins[x] {
		t := &s.orders.begins[x][k]
		if s.bound[t.side] >= t.value {
			if !s.set(atMost(t.from, s.startPast(t.from, begin)-1), t.reason()) {
				return false
			}
		} else if s.soonest(t.from) > begin && !s.exclude(t) {
			return false
		}
	}
	return true
}

func (t *turn) reason() reason { return reason{kind: byOrder, index: 2*t.pair + int32(t.value)} }

// propagateTurn carries the bounds of two steps over an order that has been settled.
func (s *solver) propagateTurn(t turn) bool {
	return s.set(atLeast(t.to, s.soonest(t.from)), t.reason()) &&
		s.set(atMost(t.from, s.startPast(t.from, s.greatest(t.to))-1), t.reason())
}

// exclude rules an order out whose first step cannot end before the second must have
// begun.
func (s *solver) exclude(t *turn) bool {
	l := literal{t.side ^ 1, 1 - t.value}
	if s.holds(l) {
		return true
	}
	last := s.greatest(t.to)
	mark := int32(len(s.notes))
	s.notes = append(s.notes, atLeast(t.from, s.startPast(t.from, last)), atMost(t.to, last))
	return s.set(l, reason{byNotes, mark, 2})
}

// explainOrder appends why a start is bounded by an order that has been settled.
func (s *solver) explainOrder(list []literal, l literal, index int32) []literal {
	t := s.orders.turn(index/2, int64(index%2))
	list = append(list, literal{t.side, t.value})
	if l.side&1 == 0 {
		last := l.value - 1
		if s.plain == nil {
			last = s.m.Times.LastStartBy(t.to, last)
		}
		return append(list, atLeast(t.from, s.startPast(t.from, last)))
	}
	next := 1 - l.value
	if s.plain == nil {
		next = s.m.Times.StartFrom(t.from, next)
	}
	return append(list, atMost(t.to, s.finish(t.from, next)-1))
}

// guide extends the starts of a schedule by the orders it has.
func (o *orders) guide(starts []int64) []int64 {
	for _, p := range o.pairs {
		order := int64(0)
		if starts[p.a] > starts[p.b] {
			order = 1
		}
		starts = append(starts, order)
	}
	return starts
}
