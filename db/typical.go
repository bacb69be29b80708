package db

import "gaugerod/scheduler"

type typicalRow struct {
	ordered
	ID    scheduler.ID `json:"id" db:"key"`
	Title string       `json:"title"`
}

// The tasks, holds and waits of a typical are in the tables of these, by its name.
var typicals = content[typicalRow]{
	name: "typical", kind: "typical",
	split: func(j *scheduler.Job) (rows []typicalRow) {
		for k := range j.Typicals {
			rows = append(rows, typicalRow{ID: j.Typicals[k].ID, Title: j.Typicals[k].Title})
		}
		return rows
	},
	join: func(j *joiner, rows []typicalRow) {
		for _, r := range rows {
			j.job.Typicals = append(j.job.Typicals, scheduler.Typical{ID: r.ID, Title: r.Title})
		}
		j.typicals = byName(j.job.Typicals, func(t *scheduler.Typical) scheduler.ID { return t.ID })
	},
}

type typicalPlace struct {
	ordered
	Owner  scheduler.ID `json:"typical" db:"owner"`
	Member scheduler.ID `json:"place" db:"key"`
}

var typicalPlaces = links[typicalPlace]("typical_place", "typical", "places",
	func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
		for k := range job.Typicals {
			do(job.Typicals[k].ID, job.Typicals[k].Places)
		}
	},
	func(j *joiner, id scheduler.ID) *[]scheduler.ID { return &j.typicals[id].Places })
