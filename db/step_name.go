package db

import "gaugerod/scheduler"

type stepName struct {
	Name scheduler.ID `json:"name" db:"key"`
}

// stepNames follow from the tasks, holds, orders and typicals of a job: every name
// that a wait, an occupation, a layer or a fact may call a step by.
var stepNames = content[stepName]{
	name: "step_name",
	split: func(j *scheduler.Job) []stepName {
		names := nameSet[stepName]{}
		add := func(name scheduler.ID) { names.add(name, stepName{name}) }
		for k := range j.Tasks {
			add(j.Tasks[k].ID)
		}
		for k := range j.Holds {
			add(j.Holds[k].ID)
		}
		for k := range j.Orders {
			o := &j.Orders[k]
			for s := range o.Stages {
				add(o.ID + "." + o.Stages[s].ID)
			}
			add(o.DeliveryStep())
		}
		for k := range j.Typicals {
			t := &j.Typicals[k]
			addEach := func(local scheduler.ID) {
				add(within(t.ID, local))
				for _, place := range t.Places {
					add(place + "." + local)
				}
			}
			for s := range t.Tasks {
				addEach(t.Tasks[s].ID)
			}
			for s := range t.Holds {
				addEach(t.Holds[s].ID)
			}
		}
		return names.rows
	},
}

// within is the name of a typical's step for every instance of it; outside of a
// typical it is the name itself.
func within(typical, local scheduler.ID) scheduler.ID {
	if typical == "" {
		return local
	}
	return typical + "." + local
}

// local is the name of a step within its typical.
func local(typical, step scheduler.ID) scheduler.ID {
	if typical == "" {
		return step
	}
	return step[len(typical)+1:]
}
