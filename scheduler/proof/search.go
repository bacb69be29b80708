package proof

// Outcome is how a search ended.
type Outcome uint8

// The outcomes of a search.
const (
	Unfinished Outcome = iota // the effort ran out
	Found                     // a schedule was found
	Refuted                   // there is none
)

// Search is a search for schedules of a model, which can be gone on with.
type Search struct{ s *solver }

// NewSearch sets a search up.
func NewSearch(m *Model) *Search { return &Search{newSolver(m)} }

// Follow lets the search look near a schedule first.
func (f *Search) Follow(starts []int64) {
	f.s.guide = f.s.orders.guide(append([]int64(nil), starts...))
}

// Aloof lets Next and Lowest answer early instead of as the schedule followed does.
func (f *Search) Aloof() { f.s.aloof = true }

// ByStart lets the search decide by least start alone, or by what it has learned.
func (f *Search) ByStart(on bool) { f.s.byStart = on }

// Steps is the dead ends met so far, the measure of effort.
func (f *Search) Steps() int64 { return f.s.Steps }

// Within demands that a step starts by t, from now on.
func (f *Search) Within(x int32, t int64) {
	f.s.back(0)
	if !f.s.set(atMost(x, t), reason{}) {
		f.s.refuted = true
	}
}

// Least is the least start of a step that has not been ruled out for good.
func (f *Search) Least(x int32) int64 {
	f.s.back(0)
	return f.s.least(x)
}

// Next looks for a schedule until the given number of dead ends has been met. Stop,
// when not nil, is asked between dead ends. The starts are those of the schedule found.
func (f *Search) Next(effort int64, stop func() bool) (Outcome, []int64) {
	s := f.s
	for until := s.Steps + effort; ; {
		if s.refuted {
			return Refuted, nil
		}
		outcome := s.run(min(until-s.Steps, s.restartAfter()), stop)
		if outcome != Unfinished || s.Steps >= until || stop != nil && stop() {
			return f.result(outcome)
		}
	}
}

// Lowest is Next for a schedule in which the goal starts at the least time that has
// not been ruled out. Each time that it rules out raises the goal's least start
// (destructive lower bounds: Klein and Scholl, EJOR 112, 1999).
func (f *Search) Lowest(effort int64, stop func() bool) (Outcome, []int64) {
	f.s.lowest = true
	defer func() { f.s.lowest = false }()
	return f.Next(effort, stop)
}

// result is how a run ended, with the schedule found.
func (f *Search) result(outcome Outcome) (Outcome, []int64) {
	s := f.s
	s.refuted = s.refuted || outcome == Refuted
	if outcome == Found {
		return Found, s.starts()
	}
	return outcome, nil
}

// starts are the least starts, which are a schedule when all are settled.
func (s *solver) starts() []int64 {
	starts := make([]int64, len(s.m.Lo))
	for x := range starts {
		starts[x] = s.least(int32(x))
	}
	return starts
}

// restartAfter is how many dead ends a run may meet before it starts again: the
// sequence of Luby, Sinclair and Zuckerman (Information Processing Letters 47, 1993).
func (s *solver) restartAfter() int64 {
	const unit = 128
	s.runs++
	return unit * Luby(s.runs)
}

// Luby is the k-th number, from 1 on, of the sequence 1, 1, 2, 1, 1, 2, 4 and so on.
func Luby(k int64) int64 {
	for size := int64(1); ; size = 2*size + 1 {
		if k == size {
			return (size + 1) / 2
		}
		if k < size {
			return Luby(k - (size-1)/2)
		}
	}
}

// run searches until a schedule is found, there is none, or so many dead ends have
// been met; it then starts again with what it has learned.
func (s *solver) run(dead int64, stop func() bool) Outcome {
	s.back(0)
	for limit := s.Steps + dead; ; {
		if s.propagate() {
			l, ok := s.near.decide(s)
			if !ok {
				l, ok = s.choose()
			}
			if !ok {
				return Found
			}
			if !s.decide(l) {
				panic("proof: a decision on an open start clashed")
			}
			continue
		}
		s.Steps++
		level, spread := s.analyse()
		if level < 0 {
			return Refuted
		}
		s.back(level)
		s.near.back(level)
		s.assert(spread)
		s.decay()
		if s.Steps >= limit || s.near.strayed || s.Steps&63 == 0 && stop != nil && stop() {
			s.back(0)
			s.trim()
			return Unfinished
		}
	}
}

// assert makes the learned clause act.
func (s *solver) assert(spread int32) {
	c := s.learn(s.learned, spread)
	if !s.set(s.learned[0], reason{kind: byClause, index: c}) {
		panic("proof: a learned literal clashed on its level")
	}
}

// trim lets learned clauses go when there are many.
func (s *solver) trim() {
	if len(s.clauses) > s.most {
		s.reduce()
		s.most += s.most / 16
	}
}
