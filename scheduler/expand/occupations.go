package expand

import (
	"slices"

	"gaugerod/scheduler"
)

// addOccupations resolves the steps between which a place or gear is held, one
// each, and those that are admitted all the same, of which a name may mean many.
func (e *expansion) addOccupations() {
	for _, o := range e.job.Occupations {
		var admits []scheduler.ID
		o.From, _ = e.single(o.From, scope{}, o.Pos)
		o.To, _ = e.single(o.To, scope{}, o.Pos)
		for _, name := range o.Admits {
			before := len(admits)
			if admits = e.resolve(admits, name, scope{}); len(admits) == before {
				e.unknown(name, o.Pos)
			}
		}
		o.Admits = slices.Clip(admits)
		e.occupations = append(e.occupations, o)
	}
}

// checkSingleNames makes sure that what is said of one step names one step.
func (e *expansion) checkSingleNames() {
	one := func(name scheduler.ID, pos scheduler.Pos) {
		if _, ok := e.net.Find(name); !ok {
			e.single(name, scope{}, pos)
		}
	}
	for _, d := range e.job.Dues {
		one(d.Step, d.Pos)
	}
	for _, f := range e.job.Facts {
		one(f.Step, f.Pos)
	}
	for _, p := range e.job.Pins {
		one(p.Step, p.Pos)
	}
}
