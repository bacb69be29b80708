package scheduler

import "slices"

// NameKind is what a name of a job names.
type NameKind string

// The kinds of things with names.
const (
	PersonName     NameKind = "person"
	TradeName      NameKind = "trade"
	GearName       NameKind = "piece of gear"
	PlaceName      NameKind = "place"
	TaskName       NameKind = "task"
	HoldName       NameKind = "hold point"
	OrderName      NameKind = "order"
	StageName      NameKind = "stage"
	TypicalName    NameKind = "typical"
	BuildUpName    NameKind = "build-up"
	LayerName      NameKind = "layer"
	DrawingName    NameKind = "drawing"
	OccupationName NameKind = "occupation"
	DueName        NameKind = "due day"

	stepName  NameKind = "step"            // however it goes by
	partyName NameKind = "trade or person" // a trade where both have the name
	jobName   NameKind = "job"
)

// NameKinds is all kinds of things that can be given another name.
var NameKinds = []NameKind{
	PersonName, TradeName, GearName, PlaceName, TaskName, HoldName, OrderName, StageName, TypicalName, BuildUpName, LayerName, DrawingName,
	OccupationName, DueName,
}

// naming is one place in a job where a name stands.
type naming struct {
	at      *ID
	kind    NameKind
	defines bool     // the thing has its name there; else it is spoken of
	in      ID       // what the thing is part of, where it has its name
	within  *Typical // names of steps: that in which it stands
	where   string   // what speaks, in words
}

// eachName goes through every name in a job. Lists of names are copied, so that they may
// be changed where they are shared with another job.
func (j *Job) eachName(visit func(naming)) {
	v := names{visit}
	v.own(&j.ID, jobName, "")
	for k := range j.People {
		p := &j.People[k]
		v.own(&p.ID, PersonName, "")
		v.one(&p.Trade, TradeName, "a person")
	}
	for k := range j.Trades {
		v.own(&j.Trades[k].ID, TradeName, "")
	}
	for k := range j.Gear {
		v.own(&j.Gear[k].ID, GearName, "")
	}
	for k := range j.Places {
		v.own(&j.Places[k].ID, PlaceName, "")
		v.one(&j.Places[k].Within, PlaceName, "a place")
	}
	v.steps(j.Tasks, j.Holds, "")
	for k := range j.Orders {
		v.order(&j.Orders[k])
	}
	v.waits(j.Waits, nil)
	for k := range j.Typicals {
		t := &j.Typicals[k]
		v.waits(t.Waits, t)
	}
	for k := range j.BuildUps {
		v.buildUp(&j.BuildUps[k])
	}
	for k := range j.Drawings {
		d := &j.Drawings[k]
		v.own(&d.ID, DrawingName, "")
		v.list(&d.Steps, stepName, "a drawing")
		v.list(&d.Places, PlaceName, "a drawing")
	}
	for k := range j.Occupations {
		o := &j.Occupations[k]
		v.own(&o.ID, OccupationName, "")
		v.one(&o.Place, PlaceName, "an occupation")
		v.one(&o.Gear, GearName, "an occupation")
		v.one(&o.From, stepName, "an occupation")
		v.one(&o.To, stepName, "an occupation")
		v.list(&o.Admits, stepName, "an occupation")
	}
	for k := range j.Dues {
		v.own(&j.Dues[k].ID, DueName, "")
		v.one(&j.Dues[k].Step, stepName, "a due day")
	}
	v.recorded(j)
	// What a typical is made of comes last: its waits are told from others by it.
	for k := range j.Typicals {
		t := &j.Typicals[k]
		v.list(&t.Places, PlaceName, "a typical")
		v.steps(t.Tasks, t.Holds, t.ID)
		v.own(&t.ID, TypicalName, "")
	}
}

// names tells of each name.
type names struct{ visit func(naming) }

func (v names) own(at *ID, kind NameKind, in ID) {
	v.visit(naming{at: at, kind: kind, defines: true, in: in})
}

func (v names) one(at *ID, kind NameKind, where string) {
	if *at != "" {
		v.visit(naming{at: at, kind: kind, where: where})
	}
}

func (v names) list(all *[]ID, kind NameKind, where string) {
	*all = slices.Clone(*all)
	for k := range *all {
		v.one(&(*all)[k], kind, where)
	}
}

func (v names) work(w *Work, where string) {
	v.list(&w.Trades, TradeName, where)
	v.list(&w.Places, PlaceName, where)
	v.list(&w.Gear, GearName, where)
}

// steps are the tasks and hold points of the job, or of a typical.
func (v names) steps(tasks []Task, holds []Hold, in ID) {
	for k := range tasks {
		v.own(&tasks[k].ID, TaskName, in)
		v.work(&tasks[k].Work, "a task")
	}
	for k := range holds {
		v.own(&holds[k].ID, HoldName, in)
		v.work(&holds[k].Work, "a hold point")
		v.one(&holds[k].By, PersonName, "a hold point")
	}
}

func (v names) order(o *Order) {
	for k := range o.Stages {
		v.own(&o.Stages[k].ID, StageName, o.ID)
		v.one(&o.Stages[k].By, partyName, "a stage of an order")
	}
	v.own(&o.ID, OrderName, "")
	v.one(&o.Supplier, partyName, "an order")
	v.one(&o.Receives, partyName, "an order")
	v.list(&o.Places, PlaceName, "an order")
	v.list(&o.Gear, GearName, "an order")
}

func (v names) waits(waits []Wait, within *Typical) {
	for k := range waits {
		for _, at := range []*ID{&waits[k].From.Step, &waits[k].To.Step} {
			if *at != "" {
				v.visit(naming{at: at, kind: stepName, within: within, where: "a wait"})
			}
		}
	}
}

func (v names) buildUp(b *BuildUp) {
	v.list(&b.Places, PlaceName, "a build-up")
	for k := range b.Layers {
		l := &b.Layers[k]
		v.own(&l.ID, LayerName, b.ID)
		v.one(&l.By, stepName, "a layer")
		v.list(&l.Seen, stepName, "a layer")
	}
	v.own(&b.ID, BuildUpName, "")
}

// recorded is what people have said of the job since it began.
func (v names) recorded(j *Job) {
	for k := range j.Facts {
		v.one(&j.Facts[k].Step, stepName, "a record")
		v.one(&j.Facts[k].By, partyName, "a record")
	}
	for k := range j.Waivers {
		w := &j.Waivers[k]
		v.one(&w.From.Step, stepName, "a waiver")
		v.one(&w.To.Step, stepName, "a waiver")
		v.one(&w.By, PersonName, "a waiver")
	}
	for k := range j.Pins {
		v.one(&j.Pins[k].Step, stepName, "a pin")
		v.one(&j.Pins[k].By, PersonName, "a pin")
	}
	for k := range j.Asides {
		v.one(&j.Asides[k].By, PersonName, "an alert set aside")
	}
	for k := range j.Issues {
		v.one(&j.Issues[k].By, PersonName, "an issue")
	}
	for k := range j.Promises {
		p := &j.Promises[k]
		v.one(&p.Trade, TradeName, "a promise")
		v.one(&p.Place, PlaceName, "a promise")
		v.list(&p.Steps, stepName, "a promise")
		v.one(&p.By, partyName, "a promise")
	}
	for k := range j.Answers {
		a := &j.Answers[k]
		v.one(&a.Trade, TradeName, "a trade's answer")
		v.one(&a.Place, PlaceName, "a trade's answer")
		v.list(&a.Steps, stepName, "a trade's answer")
		v.one(&a.By, partyName, "a trade's answer")
	}
}
