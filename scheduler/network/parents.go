package network

import (
	"slices"

	"gaugerod/scheduler"
)

// What is said of steps that no arc holds, and of those of which nobody has asked yet
// what held them in the sweep.
const (
	released = -1
	unasked  = -2
)

// prepare makes room for what corrections note of each step.
func (f *forward) prepare() {
	if n := f.g.Steps(); f.parent == nil {
		f.parent, f.dirty, f.moved = make([]int32, n), make([]bool, n), make([]int32, n)
		f.pushed = map[int32]bool{}
	}
}

// keepSweep lets corrections set out from the dates of a sweep.
func (f *forward) keepSweep() {
	f.prepare()
	f.swept = Times{slices.Clone(f.t.Start), slices.Clone(f.t.Finish)}
	for i := range f.parent {
		f.parent[i], f.moved[i], f.dirty[i] = unasked, 0, false
	}
}

// parentOf is the arc that holds a step, or released. Few are ever asked for: in the
// sweep it was the first of the arcs, in the order in which the sweep came to where
// they leave, that the step's start went by.
func (f *forward) parentOf(j int32) int32 {
	if f.parent[j] != unasked {
		return f.parent[j]
	}
	f.parent[j] = released
	if f.g.Progress[j] == Done || f.swept.Start[j] == f.g.StartFrom(int(j), f.release(j)) {
		return released
	}
	for _, k := range f.lanes.arcs[f.lanes.first[j]:f.lanes.first[j+1]] {
		if s, _ := f.g.LeastStart(&f.g.Arcs[k], &f.swept); s == f.swept.Start[j] {
			f.parent[j] = k
			break
		}
	}
	return f.parent[j]
}

// holder is the step from which the parent of j pushes it, or -1: a release or a
// recorded time holds it.
func (f *forward) holder(j int32) int32 {
	k := f.parentOf(j)
	if k == released {
		return -1
	}
	a := &f.g.Arcs[k]
	if f.g.Fixed(a.From, a.FromEnd) {
		return -1
	}
	return a.From
}

// beyond is what follows from step i having run past the end of the calendars: a
// contradiction where a loop of waits has pushed it there.
func (f *forward) beyond(i int32) (*Conflict, error) {
	seen := map[int32]bool{}
	for j := i; j >= 0; j = f.holder(j) {
		if !seen[j] {
			seen[j] = true
			continue
		}
		if loop := f.chain(j, j); f.partial || f.pushing(j) || !f.g.canHold(loop, -1) {
			return &Conflict{Arcs: loop, Pin: -1, Fact: -1}, nil
		}
		break
	}
	return nil, ErrBeyond
}

// pushing says whether every step of the loop of parents through j has moved since
// the push can last have gone round, which takes a round for each wait that runs
// back: a loop over calendars can also have come to rest.
func (f *forward) pushing(j int32) bool {
	oldest, length := f.round, int32(0)
	for i := j; ; {
		oldest, length = min(oldest, f.moved[i]), length+1
		if i = f.holder(i); i == j {
			return oldest >= f.round-length-1
		}
	}
}

// loop is the arcs of a cycle of parents that still push each other on, nil where
// there is none.
func (f *forward) loop() []int32 {
	seen := make([]int32, len(f.parent)) // 0: unseen, else 1 + the step from which it was first reached
	for i := range f.parent {
		mark := int32(i) + 1
		j := int32(i)
		for j >= 0 && seen[j] == 0 {
			seen[j] = mark
			j = f.holder(j)
		}
		if j >= 0 && seen[j] == mark && f.pushing(j) {
			return f.chain(j, j)
		}
	}
	return nil
}

// chain is the arcs from step end back through its parents, until step stop is
// met again or a release or a recorded time is what holds it.
func (f *forward) chain(end, stop int32) []int32 {
	var arcs []int32
	for j := end; j >= 0 && f.parentOf(j) != released && len(arcs) < len(f.parent); {
		arcs = append(arcs, f.parentOf(j))
		if j = f.holder(j); j == stop {
			break
		}
	}
	return arcs
}

// pinBroken is the first step that starts after its pin lets it, with what holds it.
func (f *forward) pinBroken() *Conflict {
	for i := range f.parent {
		if f.g.Progress[i] == Open && f.t.Start[i] > f.g.Upper[i] {
			return &Conflict{Arcs: f.chain(int32(i), -1), Pin: f.g.PinOf[i], Fact: -1}
		}
	}
	return nil
}

// factBroken is a most time that recorded work has made impossible to keep.
func (f *forward) factBroken(k int32) *Conflict {
	a := &f.g.Arcs[k]
	arcs := []int32{k}
	if !f.g.Fixed(a.From, a.FromEnd) {
		arcs = append(arcs, f.chain(a.From, -1)...)
	}
	return &Conflict{Arcs: arcs, Pin: -1, Fact: a.To}
}

// Holding is the arcs that hold step j where it is in t: those whose least start
// is j's start.
func (g *Graph) Holding(j int, t *Times) []int32 { return g.AppendHolding(nil, j, t) }

// AppendHolding adds the same to a list.
func (g *Graph) AppendHolding(held []int32, j int, t *Times) []int32 {
	if g.Progress[j] == Done {
		return held
	}
	for _, k := range g.In(j) {
		a := &g.Arcs[k]
		if a.Dropped || a.Most && g.Fixed(a.To, a.ToEnd) {
			continue
		}
		if s, _ := g.LeastStart(a, t); s == t.Start[j] {
			held = append(held, k)
		}
	}
	return held
}

// Root is the step from which a chain of holding arcs sets out, with the kind of
// release that holds it.
func (g *Graph) Root(chain []int32, end int) (int, scheduler.DriverKind) {
	i := end
	if len(chain) > 0 {
		i = int(g.Arcs[chain[len(chain)-1]].From)
	}
	return i, g.ReleaseBy[i]
}
