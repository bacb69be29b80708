package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// work is the columns that tasks and holds have in common.
type work struct {
	Crews          int                 `json:"crews"`
	Takes          worktime.Span       `json:"takes"`
	Alone          bool                `json:"alone"`
	Dry            *bool               `json:"dry"`
	WindBelow      *int                `json:"wind_below"`
	MinTemperature *int                `json:"min_temperature"`
	Cautions       []scheduler.Caution `json:"cautions"`
}

// spread is the columns of how well and how badly work may go.
type spread struct {
	Best  worktime.Span `json:"at_best"`
	Worst worktime.Span `json:"at_worst"`
}

func workOf(w *scheduler.Work) work {
	row := work{Crews: w.Crews, Takes: w.Takes, Alone: w.Alone, Cautions: listed(w.Cautions)}
	if s := w.Weather; s != nil {
		dry := s.Dry // a row is no part of a job
		row.Dry, row.WindBelow, row.MinTemperature = &dry, s.WindBelow, s.MinTemperature
	}
	return row
}

func (row *work) work() scheduler.Work {
	w := scheduler.Work{Crews: row.Crews, Takes: row.Takes, Alone: row.Alone, Cautions: unlisted(row.Cautions)}
	if row.Dry != nil {
		w.Weather = &scheduler.Weather{Dry: *row.Dry, WindBelow: row.WindBelow, MinTemperature: row.MinTemperature}
	}
	return w
}

// listed is an array column's value: never nil, which would be null.
func listed(c []scheduler.Caution) []scheduler.Caution {
	return append([]scheduler.Caution{}, c...)
}

func unlisted(c []scheduler.Caution) []scheduler.Caution {
	if len(c) == 0 {
		return nil
	}
	return c
}

// The lists of tasks and of holds.
type (
	stepTrade struct {
		ordered
		Owner  scheduler.ID `json:"step" db:"owner"`
		Member scheduler.ID `json:"trade" db:"key"`
	}
	stepPlace struct {
		ordered
		Owner  scheduler.ID `json:"step" db:"owner"`
		Member scheduler.ID `json:"place" db:"key"`
	}
	stepGear struct {
		ordered
		Owner  scheduler.ID `json:"step" db:"owner"`
		Member scheduler.ID `json:"gear" db:"key"`
	}
)

func tradesOf(w *scheduler.Work) *[]scheduler.ID { return &w.Trades }
func placesOf(w *scheduler.Work) *[]scheduler.ID { return &w.Places }
func gearOf(w *scheduler.Work) *[]scheduler.ID   { return &w.Gear }

// taskLinks and holdLinks are the tables of one list of the work of each.
func taskLinks[R any](table, name string, list func(*scheduler.Work) *[]scheduler.ID) content[R] {
	return links[R](table, "task", name,
		func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
			eachTask(job, func(typical scheduler.ID, t *scheduler.Task) { do(within(typical, t.ID), *list(&t.Work)) })
		},
		func(j *joiner, step scheduler.ID) *[]scheduler.ID { return list(&j.tasks[step].Work) })
}

func holdLinks[R any](table, name string, list func(*scheduler.Work) *[]scheduler.ID) content[R] {
	return links[R](table, "hold", name,
		func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
			eachHold(job, func(typical scheduler.ID, h *scheduler.Hold) { do(within(typical, h.ID), *list(&h.Work)) })
		},
		func(j *joiner, step scheduler.ID) *[]scheduler.ID { return list(&j.holds[step].Work) })
}
