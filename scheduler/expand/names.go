package expand

import (
	"fmt"

	"gaugerod/scheduler"
)

// names finds steps by the names that people write.
type names struct {
	step  map[scheduler.ID]int            // by name
	every map[scheduler.ID][]scheduler.ID // "typical.local": its instances, in the order of the places
}

// scope is where a name is written: in a typical at one of its places, or, with
// only the place, in a build-up; zero: in the job.
type scope struct{ typical, place scheduler.ID }

func (e *expansion) indexNames() {
	n := names{step: make(map[scheduler.ID]int, len(e.steps)), every: map[scheduler.ID][]scheduler.ID{}}
	for k := range e.steps {
		s := &e.steps[k]
		if _, twice := n.step[s.ID]; twice {
			e.fault(s.Pos, s.ID, fmt.Sprintf("two steps are called %q", s.ID), "give one of them another name")
			continue
		}
		n.step[s.ID] = k
		if s.Typical != "" {
			all := s.Typical + "." + s.Local
			n.every[all] = append(n.every[all], s.ID)
		}
	}
	e.names = n
}

// resolve puts the steps that a name means where it is written behind into: none
// where nothing has that name.
func (e *expansion) resolve(into []scheduler.ID, name scheduler.ID, at scope) []scheduler.ID {
	if at.typical != "" {
		local := at.place + "." + name
		if k, ok := e.names.step[local]; ok && e.steps[k].Typical == at.typical {
			return append(into, local)
		}
	}
	if _, ok := e.names.step[name]; ok {
		return append(into, name)
	}
	all := e.names.every[name]
	if at.place != "" && len(all) > 0 {
		if here, ok := e.samePlace(all[0], at.place); ok {
			return append(into, here)
		}
	}
	return append(into, all...)
}

// samePlace is the instance at a place of the typical's step that another
// instance stands for.
func (e *expansion) samePlace(instance, place scheduler.ID) (scheduler.ID, bool) {
	like := &e.steps[e.names.step[instance]]
	here := place + "." + like.Local
	k, ok := e.names.step[here]
	return here, ok && e.steps[k].Typical == like.Typical
}

// single is the one step that a name means, with a fault where there is none or more.
func (e *expansion) single(name scheduler.ID, at scope, pos scheduler.Pos) (scheduler.ID, bool) {
	found := e.resolve(nil, name, at)
	switch len(found) {
	case 0:
		e.unknown(name, pos)
		return "", false
	case 1:
		return found[0], true
	}
	e.fault(pos, name, fmt.Sprintf("%q names %d steps where one is meant", name, len(found)),
		fmt.Sprintf("name one of them, for instance %s", found[0]))
	return "", false
}

func (e *expansion) unknown(name scheduler.ID, pos scheduler.Pos) {
	e.fault(pos, name, fmt.Sprintf("no step is called %q", name), "name a task, a hold point, an order's stage or a step of a typical")
}
