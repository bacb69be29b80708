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

	Access    string `json:"access"`
	Parking   string `json:"parking"`
	Unloading string `json:"unloading"`
	Storage   string `json:"storage"`
	Lifting   string `json:"lifting"`
	Power     string `json:"power"`
}

var jobs = content[jobRow]{
	name: "job", kind: "job",
	split: func(j *scheduler.Job) []jobRow {
		s := &j.Site
		return []jobRow{{
			Title: j.Title, Zone: j.Zone, Start: j.Start, AsOf: j.AsOf, Day: j.Day,
			Access: s.Access, Parking: s.Parking, Unloading: s.Unloading, Storage: s.Storage, Lifting: s.Lifting, Power: s.Power,
		}}
	},
	join: func(j *joiner, rows []jobRow) {
		for _, r := range rows {
			j.job.Title, j.job.Zone, j.job.Start, j.job.AsOf, j.job.Day = r.Title, r.Zone, r.Start, r.AsOf, r.Day
			j.job.Site = scheduler.Site{
				Access: r.Access, Parking: r.Parking, Unloading: r.Unloading, Storage: r.Storage, Lifting: r.Lifting, Power: r.Power,
			}
		}
	},
}
