package db

import "gaugerod/scheduler"

type placeRow struct {
	ordered
	ID      scheduler.ID `json:"id" db:"key"`
	Title   string       `json:"title"`
	Within  scheduler.ID `json:"within,omitempty"`
	Room    int          `json:"room"`
	OwnWeek bool         `json:"own_week"`
}

var places = content[placeRow]{
	name: "place", kind: "place",
	split: func(j *scheduler.Job) (rows []placeRow) {
		for _, p := range j.Places {
			rows = append(rows, placeRow{ID: p.ID, Title: p.Title, Within: p.Within, Room: p.Room, OwnWeek: p.Week != nil})
		}
		return rows
	},
	join: func(j *joiner, rows []placeRow) {
		for _, r := range rows {
			j.job.Places = append(j.job.Places, scheduler.Place{
				ID: r.ID, Title: r.Title, Within: r.Within, Room: r.Room, Week: ownWeek(r.OwnWeek),
			})
		}
		j.places = byName(j.job.Places, func(p *scheduler.Place) scheduler.ID { return p.ID })
	},
}
