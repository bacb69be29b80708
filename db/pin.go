package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type pinRow struct {
	ordered
	Name      string         `json:"name" db:"key"`
	Step      scheduler.ID   `json:"step"`
	On        *worktime.Date `json:"on_day"`
	NotBefore *worktime.Date `json:"not_before_day"`
	By        scheduler.ID   `json:"by,omitempty"`
	Reason    string         `json:"reason"`
}

var pins = content[pinRow]{
	name: "pin", kind: "pin",
	split: func(j *scheduler.Job) (rows []pinRow) {
		names := namer{}
		for _, p := range j.Pins {
			rows = append(rows, pinRow{Name: names.name(string(p.Step)), Step: p.Step, On: p.On, NotBefore: p.NotBefore, By: p.By, Reason: p.Reason})
		}
		return rows
	},
	join: func(j *joiner, rows []pinRow) {
		for _, r := range rows {
			j.job.Pins = append(j.job.Pins, scheduler.Pin{Step: r.Step, On: r.On, NotBefore: r.NotBefore, By: r.By, Reason: r.Reason})
		}
	},
}
