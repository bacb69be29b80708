package db

import "gaugerod/scheduler"

type occupationRow struct {
	ordered
	ID    scheduler.ID `json:"id" db:"key"`
	Title string       `json:"title"`
	Place scheduler.ID `json:"place,omitempty"`
	Gear  scheduler.ID `json:"gear,omitempty"`
	From  scheduler.ID `json:"from_step"`
	To    scheduler.ID `json:"to_step"`
	Alone bool         `json:"alone"`
}

var occupations = content[occupationRow]{
	name: "occupation", kind: "occupation",
	split: func(j *scheduler.Job) (rows []occupationRow) {
		for _, o := range j.Occupations {
			rows = append(rows, occupationRow{ID: o.ID, Title: o.Title, Place: o.Place, Gear: o.Gear, From: o.From, To: o.To, Alone: o.Alone})
		}
		return rows
	},
	join: func(j *joiner, rows []occupationRow) {
		for _, r := range rows {
			j.job.Occupations = append(j.job.Occupations, scheduler.Occupation{
				ID: r.ID, Title: r.Title, Place: r.Place, Gear: r.Gear, From: r.From, To: r.To, Alone: r.Alone,
			})
		}
		j.occupations = byName(j.job.Occupations, func(o *scheduler.Occupation) scheduler.ID { return o.ID })
	},
}

type occupationAdmits struct {
	ordered
	Owner  scheduler.ID `json:"occupation" db:"owner"`
	Member scheduler.ID `json:"step" db:"key"`
}

var occupationsAdmit = links[occupationAdmits]("occupation_admits", "occupation", "admits",
	func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
		for k := range job.Occupations {
			do(job.Occupations[k].ID, job.Occupations[k].Admits)
		}
	},
	func(j *joiner, id scheduler.ID) *[]scheduler.ID { return &j.occupations[id].Admits })
