package proof

// timetable propagates one limit: what its tasks are bound to take at each time,
// whatever their starts, must fit, and what does not fit beside it must go earlier or
// later (cumulative time-table: Aggoun and Beldiceanu 1993; explanations at single
// points of time: Schutt, Feydy, Stuckey and Wallace 2011).
//
// A task from step a to step b runs from a's start to b's finish. It is bound to run
// at t when a starts by t at the latest and b finishes after t at the earliest.
type timetable struct {
	limit   int32
	size    int64
	tasks   []Task
	byBegin []int32 // tasks in the order of the times from which they are bound to run
	byEnd   []int32 // tasks in the order of the times until which they are
	begin   []int64 // by task; never when it is not bound to run at any time
	end     []int64
	peaks   []stretch
}

// stretch is a time in which the bound level does not change.
type stretch struct {
	from, to int64
	level    int64
}

func (t *timetable) open(s *solver, limit int32) {
	t.limit, t.size, t.tasks = limit, s.m.Limits[limit].Size, s.m.Limits[limit].Tasks
	n := len(t.tasks)
	t.begin, t.end = make([]int64, n), make([]int64, n)
	for k := range t.tasks {
		t.byBegin, t.byEnd = append(t.byBegin, int32(k)), append(t.byEnd, int32(k))
		for _, x := range [...]int32{t.tasks[k].From, t.tasks[k].To} {
			if list := s.limitsOf[x]; len(list) == 0 || list[len(list)-1] != limit {
				s.limitsOf[x] = append(s.limitsOf[x], limit)
			}
		}
	}
}

// propagate tightens the bounds of the limit's tasks until nothing moves within
// one look at the table. It returns false at a conflict.
func (t *timetable) propagate(s *solver) bool {
	highest := t.lay(s)
	if highest > t.size {
		t.overload(s)
		return false
	}
	if highest == 0 {
		return true
	}
	for k := range t.tasks {
		task := &t.tasks[k]
		if highest+task.Amount <= t.size {
			continue
		}
		if task.From == task.To && s.settled(task.From) {
			continue
		}
		if !t.pushLater(s, int32(k)) || !t.pushEarlier(s, int32(k)) {
			return false
		}
	}
	return true
}

// lay builds the table from the bounds and returns its highest level.
func (t *timetable) lay(s *solver) int64 {
	for k := range t.tasks {
		task := &t.tasks[k]
		begin := s.greatest(task.From)
		end := s.soonest(task.To)
		if begin >= end {
			begin, end = never, never
		}
		t.begin[k], t.end[k] = begin, end
	}
	sortBy(t.byBegin, t.begin)
	sortBy(t.byEnd, t.end)
	t.peaks = t.peaks[:0]
	var level, highest int64
	var from int64
	for b, e := 0, 0; b < len(t.byBegin) && t.begin[t.byBegin[b]] < never || e < len(t.byEnd) && t.end[t.byEnd[e]] < never; {
		at := int64(never)
		if b < len(t.byBegin) {
			at = t.begin[t.byBegin[b]]
		}
		if e < len(t.byEnd) {
			at = min(at, t.end[t.byEnd[e]])
		}
		if level > 0 && at > from {
			t.peaks = append(t.peaks, stretch{from, at, level})
		}
		for ; e < len(t.byEnd) && t.end[t.byEnd[e]] == at; e++ {
			level -= t.tasks[t.byEnd[e]].Amount
		}
		for ; b < len(t.byBegin) && t.begin[t.byBegin[b]] == at; b++ {
			level += t.tasks[t.byBegin[b]].Amount
		}
		highest = max(highest, level)
		from = at
	}
	return highest
}

// sortBy sorts indices by their values: insertion, since they are nearly in order
// from the time before.
func sortBy(order []int32, value []int64) {
	for i := 1; i < len(order); i++ {
		k := order[i]
		v := value[k]
		j := i
		for ; j > 0 && value[order[j-1]] > v; j-- {
			order[j] = order[j-1]
		}
		order[j] = k
	}
}

// overload explains a time at which more is bound to be taken than there is.
func (t *timetable) overload(s *solver) {
	worst := stretch{}
	for _, p := range t.peaks {
		if p.level > t.size && p.level > worst.level {
			worst = p
		}
	}
	at := worst.from + (worst.to-worst.from-1)/2
	s.conflict = s.conflict[:0]
	s.conflict = t.explainLevel(s, s.conflict, at, t.size, -1)
}

// explainLevel appends why more than most is bound to be taken at a time by others
// than one task: the fewest tasks that suffice, the largest first.
func (t *timetable) explainLevel(s *solver, list []literal, at, most int64, but int32) []literal {
	need := most + 1
	surplus := -need
	for k := range t.tasks {
		if int32(k) != but && t.begin[k] <= at && at < t.end[k] {
			surplus += t.tasks[k].Amount
		}
	}
	for k := range t.tasks {
		if int32(k) == but || t.begin[k] > at || at >= t.end[k] {
			continue
		}
		task := &t.tasks[k]
		if task.Amount <= surplus {
			surplus -= task.Amount
			continue
		}
		list = append(list, atMost(task.From, at), atLeast(task.To, s.startPast(task.To, at)))
	}
	return list
}

// pushLater moves the least start of a task past the times that have no room for it.
func (t *timetable) pushLater(s *solver, k int32) bool {
	task := &t.tasks[k]
	x := task.From
	end := s.soonest(task.To)
	first := t.after(s.least(x))
	for p := first; p < len(t.peaks) && t.peaks[p].from < end; p++ {
		peak := t.peaks[p]
		if peak.level+task.Amount <= t.size || t.begin[k] <= peak.from && peak.to <= t.end[k] {
			continue
		}
		for s.least(x) < peak.to && peak.from < end {
			at := min(peak.to, end) - 1
			mark := int32(len(s.notes))
			s.notes = append(s.notes, atLeast(task.To, s.startPast(task.To, at)))
			s.notes = t.explainLevel(s, s.notes, at, t.size-task.Amount, k)
			if !s.set(atLeast(x, at+1), reason{byNotes, mark, int32(len(s.notes)) - mark}) {
				return false
			}
			if x != task.To {
				return true // its end moves by other ways: look again then
			}
			end = s.soonest(x)
		}
	}
	return true
}

// pushEarlier moves the greatest start of a task's last step before the times that
// have no room for it.
func (t *timetable) pushEarlier(s *solver, k int32) bool {
	task := &t.tasks[k]
	y := task.To
	begin := s.greatest(task.From)
	last := s.finish(y, s.greatest(y))
	for p := t.after(last - 1); p >= 0; p-- {
		if p >= len(t.peaks) {
			continue
		}
		peak := t.peaks[p]
		if peak.to <= begin {
			break
		}
		if peak.from >= last || peak.level+task.Amount <= t.size || t.begin[k] <= peak.from && peak.to <= t.end[k] {
			continue
		}
		for peak.from < last && begin < peak.to {
			at := max(peak.from, begin)
			mark := int32(len(s.notes))
			s.notes = append(s.notes, atMost(task.From, at))
			s.notes = t.explainLevel(s, s.notes, at, t.size-task.Amount, k)
			if !s.set(atMost(y, s.startPast(y, at)-1), reason{byNotes, mark, int32(len(s.notes)) - mark}) {
				return false
			}
			if y != task.From {
				return true
			}
			begin, last = s.greatest(y), s.finish(y, s.greatest(y))
		}
	}
	return true
}

// after is the first stretch that ends after a time.
func (t *timetable) after(at int64) int {
	lo, hi := 0, len(t.peaks)
	for lo < hi {
		mid := (lo + hi) / 2
		if t.peaks[mid].to > at {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo
}
