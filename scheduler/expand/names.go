package expand

import (
	"fmt"

	"gaugerod/scheduler"
)

// scope is where a name is written: in a typical at one of its places, or, with
// only the place, in a build-up; zero: in the job.
type scope struct{ typical, place scheduler.ID }

// indexNames groups the instances of typicals; two steps of one name are a fault.
func (e *expansion) indexNames() {
	e.every = map[scheduler.ID][]scheduler.ID{}
	for k := range e.steps {
		s := &e.steps[k]
		if at, _ := e.net.Find(s.ID); at != k {
			e.fault(s.Pos, s.ID, fmt.Sprintf("two steps are called %q", s.ID), "give one of them another name")
			continue
		}
		if s.Typical != "" {
			all := s.Typical + "." + s.Local
			e.every[all] = append(e.every[all], s.ID)
		}
	}
}

// at is the step of a name that a step has.
func (e *expansion) at(id scheduler.ID) *scheduler.Step {
	k, _ := e.net.Find(id)
	return &e.steps[k]
}

// resolve puts the steps that a name means where it is written behind into: none
// where nothing has that name.
func (e *expansion) resolve(into []scheduler.ID, name scheduler.ID, at scope) []scheduler.ID {
	if at.typical != "" {
		local := at.place + "." + name
		if k, ok := e.net.Find(local); ok && e.steps[k].Typical == at.typical {
			return append(into, local)
		}
	}
	if _, ok := e.net.Find(name); ok {
		return append(into, name)
	}
	all := e.every[name]
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
	like := e.at(instance)
	here := place + "." + like.Local
	k, ok := e.net.Find(here)
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
