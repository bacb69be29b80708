package scheduler

import (
	"maps"
	"slices"
	"strings"
)

// Named is a thing of a job by what it is and the name it goes by.
type Named struct {
	Kind NameKind `json:"kind"`
	In   ID       `json:"in,omitempty"` // the order, typical or build-up that it is part of, empty: of the job itself
	ID   ID       `json:"id"`
}

// Renamed is what else is called otherwise once a thing has another name: for what is
// kept beside the job. Each is by the name before.
type Renamed struct {
	Thing    Named     `json:"thing"` // as it was called
	To       ID        `json:"to"`
	Steps    map[ID]ID `json:"steps,omitempty"` // by all names that a step goes by
	People   map[ID]ID `json:"people,omitempty"`
	Trades   map[ID]ID `json:"trades,omitempty"`
	Places   map[ID]ID `json:"places,omitempty"`
	BuildUps map[ID]ID `json:"build_ups,omitempty"`
	Layers   map[ID]ID `json:"layers,omitempty"` // "build-up.layer"
}

// Back is the renaming that takes this one back.
func (r *Renamed) Back() Renamed {
	turn := func(names map[ID]ID) map[ID]ID {
		back := make(map[ID]ID, len(names))
		for was, is := range names {
			back[is] = was
		}
		return back
	}
	thing := r.Thing
	thing.ID = r.To
	return Renamed{thing, r.Thing.ID, turn(r.Steps), turn(r.People), turn(r.Trades), turn(r.Places), turn(r.BuildUps), turn(r.Layers)}
}

// Rename gives a thing another name, and has all that speaks of it call it so: waits,
// facts, pins, waivers, orders, layers, drawings, occupations, due days, promises, answers, alerts
// set aside. Nothing else of the job changes.
//
// Errors are Refusals; then nothing is changed. That the name is well formed, and that
// no two steps have one name then, is checked with the whole job.
func (j *Job) Rename(thing Named, to ID) (Renamed, error) {
	r := &renaming{job: j, thing: thing, to: to}
	if err := r.check(); err != nil {
		return Renamed{}, err
	}
	r.listSteps()
	if err := r.checkMentions(); err != nil {
		return Renamed{}, err
	}
	done := r.outside()
	r.promised()
	j.eachName(func(n naming) { *n.at = r.nameOf(n) })
	for k := range j.Asides {
		j.Asides[k].Alert = r.alertKey(j.Asides[k].Alert)
	}
	return done, nil
}

// renaming is one thing on its way to another name.
type renaming struct {
	job   *Job
	thing Named
	to    ID
	steps map[ID]ID // by every name that a step of the network, or all of a typical's, goes by
	local map[ID]ID // within the typical, where the thing is one of its steps
}

// check looks at the thing and at those of its kind.
func (r *renaming) check() error {
	const field = "name"
	switch {
	case r.to == "":
		return refuse(ErrIncomplete, field, "", "the new name is missing")
	case r.to == r.thing.ID:
		return refuse(ErrAlready, field, "", "it is called %s already", r.to)
	}
	there := false
	var taken NameKind
	r.job.eachName(func(n naming) {
		if !n.defines || n.kind == jobName || n.in != r.thing.In || !sharesNames(n.kind, r.thing.Kind) {
			return
		}
		there = there || n.kind == r.thing.Kind && *n.at == r.thing.ID
		if *n.at == r.to {
			taken = n.kind
		}
	})
	switch {
	case !there:
		return refuse(ErrNotFound, "", "", "there is no %s called %s", r.thing.Kind, r.thing.ID)
	case taken != "":
		return refuse(ErrAlready, field, "take another name", "there is a %s called %s already", taken, r.to)
	}
	return nil
}

// sharesNames says whether no two things of these kinds have one name.
func sharesNames(a, b NameKind) bool {
	party := func(k NameKind) bool { return k == PersonName || k == TradeName }
	step := func(k NameKind) bool { return k == TaskName || k == HoldName }
	return a == b || party(a) && party(b) || step(a) && step(b)
}

// listSteps lists the steps that are called otherwise then.
func (r *renaming) listSteps() {
	r.steps, r.local = map[ID]ID{}, map[ID]ID{}
	j := r.job
	for k := range j.Orders {
		o := &j.Orders[k]
		r.joined(OrderName, o.ID, "", DeliveryStage, o.ID)
		for s := range o.Stages {
			r.joined(OrderName, o.ID, StageName, o.Stages[s].ID, o.ID)
		}
	}
	for k := range j.Typicals {
		t := &j.Typicals[k]
		each := func(kind NameKind, local ID) {
			r.joined(TypicalName, t.ID, kind, local, t.ID)
			for _, p := range t.Places {
				r.joined(PlaceName, p, kind, local, t.ID)
			}
		}
		for s := range t.Tasks {
			each(TaskName, t.Tasks[s].ID)
		}
		for s := range t.Holds {
			each(HoldName, t.Holds[s].ID)
		}
	}
	switch {
	case r.thing.Kind != TaskName && r.thing.Kind != HoldName:
	case r.thing.In == "":
		r.steps[r.thing.ID] = r.to
	default:
		r.local[r.thing.ID] = r.to
	}
}

// joined lists a step that goes by two names with a dot between, if one of them changes.
// In is the order or typical that the second one is part of.
func (r *renaming) joined(kind NameKind, whole ID, localKind NameKind, local, in ID) {
	w, l := whole, local
	if r.thing == (Named{kind, "", whole}) {
		w = r.to
	}
	if r.thing == (Named{localKind, in, local}) {
		l = r.to
	}
	if w != whole || l != local {
		r.steps[whole+"."+local] = w + "." + l
	}
}

// checkMentions refuses a name under which something is spoken of already: what was
// meant by it would no longer be told from the thing.
func (r *renaming) checkMentions() (err error) {
	fresh := map[ID]bool{}
	for _, is := range r.steps {
		fresh[is] = true
	}
	r.job.eachName(func(n naming) {
		if n.kind != stepName || err != nil {
			return
		}
		name, captured := *n.at, false
		switch own := n.within.hasStep(name); {
		case n.within != nil && own: // a step of the typical
		case n.within != nil && n.within.ID == r.thing.In && name == r.to && len(r.local) > 0:
			captured = true
		case n.within != nil && r.steps[name] != "":
			captured = n.within.hasStep(r.steps[name])
		default:
			captured = fresh[name]
		}
		if captured {
			err = refuse(ErrImpossible, "name", "take another name", "%s speaks of a step called %s already", n.where, r.to)
		}
	})
	return err
}

// hasStep says whether a typical has a step of its own of that name.
func (t *Typical) hasStep(id ID) bool {
	if t == nil {
		return false
	}
	_, ok := ownStep(t.Tasks, t.Holds, id)
	return ok
}

// nameOf is how a name is written from now on.
func (r *renaming) nameOf(n naming) ID {
	name := *n.at
	switch {
	case n.defines:
		if (Named{n.kind, n.in, name}) == r.thing {
			return r.to
		}
	case n.kind == stepName:
		return r.stepNow(name, n.within)
	case n.kind == partyName:
		if r.thing.ID == name && (r.thing.Kind == TradeName || r.thing.Kind == PersonName && !r.job.hasTrade(name)) {
			return r.to
		}
	case r.thing == (Named{n.kind, "", name}):
		return r.to
	}
	return name
}

// stepNow is how a step is called from now on, within a typical or outside of all.
func (r *renaming) stepNow(name ID, within *Typical) ID {
	if is, ok := r.local[name]; ok && within != nil && within.ID == r.thing.In {
		return is
	}
	if is, ok := r.steps[name]; ok && !within.hasStep(name) {
		return is
	}
	return name
}

// simple is the new name of a thing of a kind that is no part of another.
func (r *renaming) simple(kind NameKind, name ID) ID {
	if r.thing == (Named{kind, "", name}) {
		return r.to
	}
	return name
}

// promised renames the windows of promises and answers, whose names are made of those of
// a trade, a place and a step.
func (r *renaming) promised() {
	name := func(window string, trade, place ID) string {
		first, ok := cutWindow(window, trade, place)
		if !ok {
			return window
		}
		return windowName(r.simple(TradeName, trade), r.simple(PlaceName, place), r.stepNow(first, nil))
	}
	for k := range r.job.Promises {
		p := &r.job.Promises[k]
		p.Window = name(p.Window, p.Trade, p.Place)
	}
	for k := range r.job.Answers {
		a := &r.job.Answers[k]
		a.Window = name(a.Window, a.Trade, a.Place)
	}
}

// outside is what else goes by another name then.
func (r *renaming) outside() Renamed {
	done := Renamed{Thing: r.thing, To: r.to, Steps: maps.Clone(r.steps)}
	one := map[ID]ID{r.thing.ID: r.to}
	switch r.thing.Kind {
	case PersonName:
		done.People = one
	case TradeName:
		done.Trades = one
	case PlaceName:
		done.Places = one
	case BuildUpName:
		done.BuildUps = one
		for k := range r.job.BuildUps {
			if b := &r.job.BuildUps[k]; b.ID == r.thing.ID {
				done.Layers = map[ID]ID{}
				for n := range b.Layers {
					done.Layers[b.ID+"."+b.Layers[n].ID] = r.to + "." + b.Layers[n].ID
				}
			}
		}
	case LayerName:
		done.Layers = map[ID]ID{r.thing.In + "." + r.thing.ID: r.thing.In + "." + r.to}
	}
	return done
}

func (j *Job) hasTrade(id ID) bool {
	return slices.ContainsFunc(j.Trades, func(t Trade) bool { return t.ID == id })
}

// cutWindow is the first step in the name of a window of a trade in a place.
func cutWindow(window string, trade, place ID) (first ID, ok bool) {
	rest, ok := strings.CutPrefix(window, string(trade)+"."+string(place)+".")
	return ID(rest), ok
}
