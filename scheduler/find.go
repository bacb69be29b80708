package scheduler

import (
	"slices"
	"strings"
)

// origin is what a step of the network is written as in the job.
type origin struct {
	kind    StepKind
	task    *Task
	hold    *Hold
	order   *Order // stages and deliveries
	stage   *Stage
	typical *Typical // instances of a typical's steps
}

// origin finds the step that the network will call id.
func (j *Job) origin(id ID) (origin, error) {
	if o, ok := ownStep(j.Tasks, j.Holds, id); ok {
		return o, nil
	}
	if whole, local, ok := cutLast(id); ok {
		if o, ok := j.orderStep(whole, local); ok {
			return o, nil
		}
		for k := range j.Typicals {
			t := &j.Typicals[k]
			if !slices.Contains(t.Places, whole) {
				continue
			}
			if o, ok := ownStep(t.Tasks, t.Holds, local); ok {
				o.typical = t
				return o, nil
			}
		}
	}
	return origin{}, refuse(ErrNotFound, "step", "name a task, a hold point, an order's stage or one place's step of a typical",
		"no step is called %q", id)
}

func ownStep(tasks []Task, holds []Hold, id ID) (origin, bool) {
	for k := range tasks {
		if tasks[k].ID == id {
			return origin{kind: TaskStep, task: &tasks[k]}, true
		}
	}
	for k := range holds {
		if holds[k].ID == id {
			return origin{kind: HoldStep, hold: &holds[k]}, true
		}
	}
	return origin{}, false
}

func (j *Job) orderStep(order, local ID) (origin, bool) {
	for k := range j.Orders {
		o := &j.Orders[k]
		if o.ID != order {
			continue
		}
		if local == DeliveryStage {
			return origin{kind: HoldStep, order: o}, true
		}
		for n := range o.Stages {
			if o.Stages[n].ID == local {
				return origin{kind: StageStep, order: o, stage: &o.Stages[n]}, true
			}
		}
	}
	return origin{}, false
}

// person is an error unless somebody on the job has the name given under by.
func (j *Job) person(id ID) error {
	const field = "by"
	if id == "" {
		return refuse(ErrIncomplete, field, "name a person of the job", "it does not say who")
	}
	for k := range j.People {
		if j.People[k].ID == id {
			return nil
		}
	}
	return refuse(ErrNotFound, field, "name a person of the job", "nobody on the job is called %q", id)
}

// FindFact is what has been recorded of a step, nil where nothing has.
func (j *Job) FindFact(step ID) *Fact {
	for k := range j.Facts {
		if j.Facts[k].Step == step {
			return &j.Facts[k]
		}
	}
	return nil
}

// cutLast parts "windows.delivery" at its last dot.
func cutLast(id ID) (whole, local ID, ok bool) {
	k := strings.LastIndexByte(string(id), '.')
	if k < 0 {
		return "", "", false
	}
	return id[:k], id[k+1:], true
}

// PeopleOf are the people who belong to a trade.
func (j *Job) PeopleOf(trade ID) []ID {
	var ids []ID
	for k := range j.People {
		if p := &j.People[k]; p.Trade == trade {
			ids = append(ids, p.ID)
		}
	}
	return ids
}
