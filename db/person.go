package db

import "gaugerod/scheduler"

type personRow struct {
	ordered
	ID    scheduler.ID   `json:"id" db:"key"`
	Name  string         `json:"name"`
	Role  scheduler.Role `json:"role"`
	Trade scheduler.ID   `json:"trade,omitempty"`
}

var people = content[personRow]{
	name: "person", kind: "person",
	split: func(j *scheduler.Job) (rows []personRow) {
		for _, p := range j.People {
			rows = append(rows, personRow{ID: p.ID, Name: p.Name, Role: p.Role, Trade: p.Trade})
		}
		return rows
	},
	join: func(j *joiner, rows []personRow) {
		for _, r := range rows {
			j.job.People = append(j.job.People, scheduler.Person{ID: r.ID, Name: r.Name, Role: r.Role, Trade: r.Trade})
		}
	},
}
