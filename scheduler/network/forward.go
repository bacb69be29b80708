package network

import (
	"errors"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// ErrBeyond says that dates run past either end of the calendars: build the graph
// again with more years.
var ErrBeyond = errors.New("dates run past the end of the calendars")

// patience is how many rounds a loop of waits may push itself on before it is
// taken for a contradiction. Over calendars a loop can come to rest late, say after
// a closure; each round moves it by at least a minute and by whole gaps at a time.
const patience = 1000

// forward is the computation of earliest dates.
type forward struct {
	g      *Graph
	t      Times
	parent []int32 // by step: the arc that holds it, -1: its release
	dirty  []bool
	round  int32
	moved  []int32        // by step: the round in which it last moved
	pushed map[int32]bool // arcs of loops that were seen to push

	partial bool // the graph is only part of one: what looks like a loop is one
}

func newForward(g *Graph) *forward {
	n := g.Steps()
	return &forward{
		g: g, t: NewTimes(n), parent: make([]int32, n), dirty: make([]bool, n), moved: make([]int32, n),
		pushed: map[int32]bool{},
	}
}

// Earliest is the least dates that satisfy every wait that has not been dropped,
// with the releases as lower bounds. Statements that contradict each other are
// found one set at a time; one of each set is dropped from the graph (arcs
// Dropped, PinKept) and the set is returned.
func (g *Graph) Earliest() (Times, []Conflict, error) {
	return g.EarliestFrom(nil)
}

// EarliestFrom is Earliest with further least starts, by step; nil: none.
func (g *Graph) EarliestFrom(least []worktime.Instant) (Times, []Conflict, error) {
	var conflicts []Conflict
	f := newForward(g)
	for {
		conflict, err := f.run(least)
		if err != nil {
			return f.t, conflicts, err
		}
		if conflict == nil {
			return f.t, conflicts, nil
		}
		f.shrink(conflict)
		g.drop(conflict)
		conflicts = append(conflicts, *conflict)
	}
}

// run computes the dates, or stops at the first contradiction.
func (f *forward) run(least []worktime.Instant) (*Conflict, error) {
	g := f.g
	for i := range f.parent {
		f.parent[i], f.moved[i] = -1, -1
		f.begin(i, least)
		f.dirty[i] = true
	}
	if c := f.pinBroken(); c != nil {
		return c, nil // a day on which the step cannot start, whatever else there is
	}
	clear(f.pushed)
	from, to := 0, g.Steps()-1
	for f.round = 0; from <= to; f.round++ {
		next, last := g.Steps(), -1
		for r := from; r <= to; r++ {
			i := g.order[r]
			if !f.dirty[i] {
				continue
			}
			f.dirty[i] = false
			conflict, err := f.push(i, r, to, &next, &last)
			if conflict != nil || err != nil {
				return conflict, err
			}
		}
		from, to = next, last
		if f.round < 4 || f.round > 64 && f.round%8 != 0 {
			continue
		}
		if loop := f.loop(); loop != nil {
			if f.round >= patience {
				return &Conflict{Arcs: loop, Pin: -1, Fact: -1}, nil
			}
			for _, k := range loop {
				f.pushed[k] = true
			}
		}
	}
	return f.pinBroken(), nil
}

// begin sets a step to its least dates without waits.
func (f *forward) begin(i int, least []worktime.Instant) {
	g := f.g
	if g.Progress[i] == Done {
		f.t.Start[i], f.t.Finish[i] = g.Began[i], g.Ended[i]
		return
	}
	s := g.Release[i]
	if least != nil {
		s = max(s, least[i])
	}
	f.t.Start[i] = g.StartFrom(i, s)
}

// push carries the dates of step i along its arcs. Steps that move and that this
// round, which goes up to rank reach, does not come to any more are left for the
// next one, whose range of ranks is widened to take them in.
func (f *forward) push(i int32, rank, reach int, next, last *int) (*Conflict, error) {
	g := f.g
	if g.Progress[i] != Done {
		f.t.Finish[i] = g.FinishOf(int(i), f.t.Start[i])
	}
	if !f.t.Start[i].Known() || !f.t.Finish[i].Known() {
		return f.beyond(i)
	}
	for k := g.first[i]; k < g.first[i+1]; k++ {
		a := &g.Arcs[k]
		if a.Dropped {
			continue
		}
		j := a.To
		if g.Progress[j] != Open && g.Fixed(j, a.ToEnd) && (a.Most || g.Progress[j] == Done) {
			if a.Most && g.least(a, g.at(&f.t, i, a.FromEnd)) > g.at(&f.t, j, a.ToEnd) {
				return f.factBroken(k), nil
			}
			continue
		}
		s, _ := g.LeastStart(a, &f.t)
		if s <= f.t.Start[j] {
			continue
		}
		f.t.Start[j], f.parent[j], f.moved[j] = s, k, f.round
		f.dirty[j] = true
		if q := int(g.rank[j]); q <= rank || q > reach {
			*next, *last = min(*next, q), max(*last, q)
		}
	}
	return nil, nil
}

// holder is the step from which the parent of j pushes it, or -1: a release or a
// recorded time holds it.
func (f *forward) holder(j int32) int32 {
	if f.parent[j] < 0 {
		return -1
	}
	a := &f.g.Arcs[f.parent[j]]
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
	for j := end; j >= 0 && f.parent[j] >= 0 && len(arcs) < len(f.parent); {
		arcs = append(arcs, f.parent[j])
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
func (g *Graph) Holding(j int, t *Times) []int32 {
	var held []int32
	if g.Progress[j] == Done {
		return nil
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
