package trial

import (
	"fmt"
	"slices"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Op is one statement of a trial. Exactly one of its fields is given.
type Op struct {
	Takes    *Takes    `json:"takes,omitempty"`
	Crews    *Crews    `json:"crews,omitempty"`
	Expected *Expected `json:"expected,omitempty"`
	Pin      *Pin      `json:"pin,omitempty"`
	Off      *Off      `json:"off,omitempty"`
	Layer    *Layer    `json:"layer,omitempty"`
	Put      *Put      `json:"put,omitempty"`
}

// Takes says that a step takes another time: a task, a hold point, a stage of an
// order, or every instance of a typical's step ("openings.pan").
type Takes struct {
	Step  scheduler.ID  `json:"step"`
	Takes worktime.Span `json:"takes"`
}

// Crews says that a trade can send more crews or fewer.
type Crews struct {
	Trade scheduler.ID `json:"trade"`
	Crews int          `json:"crews"`
}

// Expected says that a hold point, mostly a delivery, comes on another day.
type Expected struct {
	Step scheduler.ID  `json:"step"`
	Day  worktime.Date `json:"day"`
}

// Pin says that a step does not start before a day, or starts on it.
type Pin struct {
	Step      scheduler.ID   `json:"step"`
	On        *worktime.Date `json:"on,omitempty"`
	NotBefore *worktime.Date `json:"not_before,omitempty"`
	By        scheduler.ID   `json:"by"`
	Reason    string         `json:"reason"`
}

// Off says that a trade cannot come from one day to another, both included.
type Off struct {
	Trade scheduler.ID  `json:"trade"`
	From  worktime.Date `json:"from"`
	To    worktime.Date `json:"to"`
}

// Layer puts a layer of a build-up behind another one; with no other it becomes the
// first that is put there.
type Layer struct {
	BuildUp scheduler.ID `json:"build_up"`
	Layer   scheduler.ID `json:"layer"`
	After   scheduler.ID `json:"after,omitempty"`
}

// change is what each kind of statement does to a job.
type change interface{ apply(j *scheduler.Job) error }

// one is the statement itself; an error where there is none or more than one.
func (o Op) one() (change, error) {
	var all []change
	for _, c := range []struct {
		given bool
		is    change
	}{
		{o.Takes != nil, o.Takes},
		{o.Crews != nil, o.Crews},
		{o.Expected != nil, o.Expected},
		{o.Pin != nil, o.Pin},
		{o.Off != nil, o.Off},
		{o.Layer != nil, o.Layer},
		{o.Put != nil, o.Put},
	} {
		if c.given {
			all = append(all, c.is)
		}
	}
	if len(all) != 1 {
		return nil, refuse(scheduler.ErrIncomplete, "", "say one thing in each change", "a change says %d things", len(all))
	}
	return all[0], nil
}

// About is what a statement is about: of two about the same, the later counts.
func (o Op) About() string {
	switch {
	case o.Takes != nil:
		return "takes " + string(o.Takes.Step)
	case o.Crews != nil:
		return "crews " + string(o.Crews.Trade)
	case o.Expected != nil:
		return "expected " + string(o.Expected.Step)
	case o.Pin != nil:
		return "pin " + string(o.Pin.Step)
	case o.Off != nil:
		return fmt.Sprint("off ", o.Off.Trade, " ", o.Off.From, " ", o.Off.To)
	case o.Layer != nil:
		return fmt.Sprint("layer ", o.Layer.BuildUp, " ", o.Layer.Layer)
	case o.Put != nil:
		return "put " + strings.Join(o.Put.Path, " ")
	}
	return ""
}

// With is the statements with one more, without an earlier one about the same.
func With(ops []Op, more Op) []Op { return append(without(ops, more), more) }

// without is the statements that another one does not take the place of. What was put
// stays where later statements may rest on it.
func without(ops []Op, more Op) []Op {
	same := func(o Op) bool { return o.About() == more.About() }
	last := len(ops) - 1
	switch {
	case more.Put == nil:
		return slices.DeleteFunc(slices.Clone(ops), same)
	case last >= 0 && more.Put.named() && same(ops[last]):
		return ops[:last:last]
	}
	return ops[:len(ops):len(ops)]
}

func (t *Takes) apply(j *scheduler.Job) error {
	if t.Takes.Amount < 0 {
		return refuse(scheduler.ErrImpossible, "takes", "give 0 or more", "%s cannot take less than no time", t.Step)
	}
	if f := j.FindFact(t.Step); f != nil && (f.Done != nil || f.Released != nil) {
		return over(t.Step)
	}
	return j.SetTakes(t.Step, t.Takes)
}

func (c *Crews) apply(j *scheduler.Job) error { return j.SetCrews(c.Trade, c.Crews) }

func (e *Expected) apply(j *scheduler.Job) error {
	if f := j.FindFact(e.Step); f != nil && (f.Done != nil || f.Released != nil) {
		return over(e.Step)
	}
	return j.Record(scheduler.Fact{Step: e.Step, Expected: &worktime.When{Day: e.Day}})
}

func (p *Pin) apply(j *scheduler.Job) error {
	if f := j.FindFact(p.Step); f != nil && (f.Started != nil || f.Done != nil || f.Released != nil) {
		return refuse(scheduler.ErrAlready, "step", "choose work that lies ahead", "%s has begun already", p.Step)
	}
	return j.Pin(scheduler.Pin{Step: p.Step, On: p.On, NotBefore: p.NotBefore, By: p.By, Reason: p.Reason})
}

func (o *Off) apply(j *scheduler.Job) error {
	return j.AddOff(o.Trade, scheduler.Closure{From: o.From, To: o.To, Why: "cannot come"})
}

func (l *Layer) apply(j *scheduler.Job) error { return j.MoveLayer(l.BuildUp, l.Layer, l.After) }

// over is the refusal of a change of what is done.
func over(step scheduler.ID) error {
	return refuse(scheduler.ErrAlready, "step", "choose what lies ahead", "%s is done already", step)
}

func refuse(kind error, field, mend, what string, args ...any) error {
	return &scheduler.Refusal{Kind: kind, Field: field, What: fmt.Sprintf(what, args...), Mend: mend}
}
