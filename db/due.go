package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type dueRow struct {
	ordered
	ID    scheduler.ID  `json:"id" db:"key"`
	Title string        `json:"title"`
	Step  scheduler.ID  `json:"step"`
	On    worktime.Date `json:"on_day"`
}

var dues = content[dueRow]{
	name: "due", kind: "due",
	split: func(j *scheduler.Job) (rows []dueRow) {
		for _, d := range j.Dues {
			rows = append(rows, dueRow{ID: d.ID, Title: d.Title, Step: d.Step, On: d.On})
		}
		return rows
	},
	join: func(j *joiner, rows []dueRow) {
		for _, r := range rows {
			j.job.Dues = append(j.job.Dues, scheduler.Due{ID: r.ID, Title: r.Title, Step: r.Step, On: r.On})
		}
	},
}
