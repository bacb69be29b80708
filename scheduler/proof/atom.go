package proof

// atom is a question that clauses and dead ends ask: does step x start by t? Atoms
// are made when they are first asked.
type atom struct {
	x        int32
	heapAt   int32 // see branching; -1: answered, -2: never in the heap
	t        int64
	activity float64
}

// atomAt is an entry in a step's list of atoms, by t.
type atomAt struct {
	t    int64
	atom int32
}

// atoms are all atoms with the clauses that wait for their answers.
type atoms struct {
	list     []atom
	of       [][]atomAt // by step
	watchers [][]watch  // by answer, see answered
}

// answered is the number of an atom's answer: the step starts by its time (yes), or
// after it.
func answered(a int32, yes bool) int32 {
	if yes {
		return 2*a + 1
	}
	return 2 * a
}

// from is where the atoms of step x that ask for t or later begin in its list.
func (q *atoms) from(x int32, t int64) int {
	list := q.of[x]
	lo, hi := 0, len(list)
	for lo < hi {
		mid := int(uint(lo+hi) >> 1)
		if list[mid].t < t {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

// atom is the number of the atom that asks whether step x starts by t.
func (q *atoms) atom(x int32, t int64) int32 {
	k := q.from(x, t)
	list := q.of[x]
	if k < len(list) && list[k].t == t {
		return list[k].atom
	}
	a := int32(len(q.list))
	q.list = append(q.list, atom{x: x, t: t, heapAt: -2})
	q.watchers = append(q.watchers, nil, nil)
	list = append(list, atomAt{})
	copy(list[k+1:], list[k:])
	list[k] = atomAt{t, a}
	q.of[x] = list
	return a
}

// asks is the step and the time that the atom of a literal asks for.
func (l literal) asks() (x int32, t int64) {
	if l.side&1 == 1 {
		return l.side >> 1, -l.value
	}
	return l.side >> 1, l.value - 1
}

// answer is the number of the answer that makes a literal true.
func (q *atoms) answer(l literal) int32 {
	return answered(q.atom(l.asks()), l.side&1 == 1)
}
