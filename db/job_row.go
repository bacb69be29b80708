package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type jobRow struct {
	Title string         `json:"title"`
	Zone  string         `json:"zone"`
	Start worktime.Date  `json:"start_day"`
	AsOf  *worktime.Date `json:"as_of_day"`
	Day   worktime.Span  `json:"day_span"`
}

var jobs = content[jobRow]{
	name: "job", kind: "job",
	split: func(j *scheduler.Job) []jobRow {
		return []jobRow{{Title: j.Title, Zone: j.Zone, Start: j.Start, AsOf: j.AsOf, Day: j.Day}}
	},
	join: func(j *joiner, rows []jobRow) {
		for _, r := range rows {
			j.job.Title, j.job.Zone, j.job.Start, j.job.AsOf, j.job.Day = r.Title, r.Zone, r.Start, r.AsOf, r.Day
		}
	},
}
