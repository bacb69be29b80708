package db

import (
	"cmp"
	"reflect"
	"slices"
	"sync"

	"gaugerod/scheduler"
)

// mostHeldRows is how many rows of all jobs together are held in memory. A row takes
// some 300 bytes; a house has some 2,000.
const mostHeldRows = 200_000

// held is the states of jobs as they were last read or written here, so that a job is
// not read from all its tables again for each change. Others may change it meanwhile:
// a state counts only where it has the revision and the time of change that the
// database names, which is asked each time, for a change under the lock of the job.
type held struct {
	mu     sync.Mutex
	states map[scheduler.ID]*heldState
	most   int   // rows that are held
	rows   int   // of all states
	turn   int64 // counts how often one was asked for
}

type heldState struct {
	state
	rows int
	used int64 // the turn in which it was last asked for
}

// find is the state of a job that is the given one, with a job of its own; nil where
// it is not held.
func (h *held) find(id scheduler.ID, is standing) *state {
	h.mu.Lock()
	found := h.states[id]
	if found == nil || !found.standing.is(is) {
		h.mu.Unlock()
		return nil
	}
	h.turn++
	found.used = h.turn
	h.mu.Unlock()
	s := found.state
	s.job = s.join(id)
	return &s
}

// keep holds a state, unless a newer one of the job is held, and where there are too many
// lets go of those that nobody has asked for the longest.
func (h *held) keep(id scheduler.ID, s *state) {
	next := &heldState{state: *s}
	next.job = nil // whoever asked for it may change it
	for k := range s.tables {
		next.rows += s.tables[k].count
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.states == nil {
		h.states = map[scheduler.ID]*heldState{}
	}
	if was := h.states[id]; was != nil {
		if was.revision > s.revision && !was.changed.Before(s.changed) {
			return
		}
		h.rows -= was.rows
	}
	h.turn++
	next.used = h.turn
	h.states[id] = next
	h.rows += next.rows
	for h.rows > h.most {
		oldest := id
		for other, s := range h.states {
			if s.used < h.states[oldest].used {
				oldest = other
			}
		}
		h.rows -= h.states[oldest].rows
		delete(h.states, oldest)
	}
}

// forget lets go of a job that is not there any more.
func (h *held) forget(id scheduler.ID) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if was := h.states[id]; was != nil {
		h.rows -= was.rows
		delete(h.states, id)
	}
}

// settled is the state that rows make once they are written.
func settled(is standing, written []decoded) *state {
	s := &state{standing: is, tables: make([]decoded, len(written))}
	for k := range written {
		if written[k].kept {
			s.tables[k] = written[k]
			s.tables[k].kept = false
			continue
		}
		s.tables[k] = written[k].settled()
	}
	return s
}

// join puts the rows of a state together to a job.
func (s *state) join(id scheduler.ID) *scheduler.Job {
	j := &joiner{job: &scheduler.Job{ID: id}}
	for k := range s.tables {
		s.tables[k].join(j)
	}
	return j.job
}

// settle puts rows into the order in which the database gives them: those without a
// place in the order of the job by their key.
func (c content[R]) settle(rs []R) decoded {
	f := fieldsOf[R](c.list != "")
	if f.nr == nil {
		rs = slices.Clone(rs)
		slices.SortStableFunc(rs, func(a, b R) int { return byFields(reflect.ValueOf(&a).Elem(), reflect.ValueOf(&b).Elem(), f.key) })
	}
	return c.decoded(rs)
}

// byFields compares fields, in their order, as numbers or else as text.
func byFields(a, b reflect.Value, at [][]int) int {
	for _, index := range at {
		x, y := a.FieldByIndex(index), b.FieldByIndex(index)
		var order int
		switch {
		case x.CanInt():
			order = cmp.Compare(x.Int(), y.Int())
		case x.CanUint():
			order = cmp.Compare(x.Uint(), y.Uint())
		default:
			order = cmp.Compare(x.String(), y.String())
		}
		if order != 0 {
			return order
		}
	}
	return 0
}
