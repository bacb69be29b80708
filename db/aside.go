package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type asideRow struct {
	ordered
	Name   string        `json:"name" db:"key"`
	Alert  string        `json:"alert"`
	By     scheduler.ID  `json:"by"`
	On     worktime.Date `json:"on_day"`
	Reason string        `json:"reason"`
}

var asides = content[asideRow]{
	name: "aside", kind: "aside",
	split: func(j *scheduler.Job) (rows []asideRow) {
		names := namer{}
		for _, a := range j.Asides {
			rows = append(rows, asideRow{Name: names.name(cut(a.Alert)), Alert: a.Alert, By: a.By, On: a.On, Reason: a.Reason})
		}
		return rows
	},
	join: func(j *joiner, rows []asideRow) {
		for _, r := range rows {
			j.job.Asides = append(j.job.Asides, scheduler.Aside{Alert: r.Alert, By: r.By, On: r.On, Reason: r.Reason})
		}
	},
}

// cut is the first 200 letters: more than a key of an index should have.
func cut(text string) string {
	letters := 0
	for at := range text {
		if letters == 200 {
			return text[:at]
		}
		letters++
	}
	return text
}
