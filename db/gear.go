package db

import "gaugerod/scheduler"

type gearRow struct {
	ordered
	ID    scheduler.ID `json:"id" db:"key"`
	Title string       `json:"title"`
	Count int          `json:"count"`
}

var gear = content[gearRow]{
	name: "gear", kind: "gear",
	split: func(j *scheduler.Job) (rows []gearRow) {
		for _, g := range j.Gear {
			rows = append(rows, gearRow{ID: g.ID, Title: g.Title, Count: g.Count})
		}
		return rows
	},
	join: func(j *joiner, rows []gearRow) {
		for _, r := range rows {
			j.job.Gear = append(j.job.Gear, scheduler.Gear{ID: r.ID, Title: r.Title, Count: r.Count})
		}
	},
}
