package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type drawingRow struct {
	ordered
	ID       scheduler.ID   `json:"id" db:"key"`
	Title    string         `json:"title"`
	Revision string         `json:"revision"`
	On       *worktime.Date `json:"on_day"`
}

var drawings = content[drawingRow]{
	name: "drawing", kind: "drawing",
	split: func(j *scheduler.Job) (rows []drawingRow) {
		for _, d := range j.Drawings {
			rows = append(rows, drawingRow{ID: d.ID, Title: d.Title, Revision: d.Revision, On: d.On})
		}
		return rows
	},
	join: func(j *joiner, rows []drawingRow) {
		for _, r := range rows {
			j.job.Drawings = append(j.job.Drawings, scheduler.Drawing{ID: r.ID, Title: r.Title, Revision: r.Revision, On: r.On})
		}
		j.drawings = byName(j.job.Drawings, func(d *scheduler.Drawing) scheduler.ID { return d.ID })
	},
}

type drawingStep struct {
	ordered
	Owner  scheduler.ID `json:"drawing" db:"owner"`
	Member scheduler.ID `json:"step" db:"key"`
}

type drawingPlace struct {
	ordered
	Owner  scheduler.ID `json:"drawing" db:"owner"`
	Member scheduler.ID `json:"place" db:"key"`
}

var (
	drawingSteps = links[drawingStep]("drawing_step", "drawing", "steps", eachDrawing(stepsShown),
		func(j *joiner, id scheduler.ID) *[]scheduler.ID { return stepsShown(j.drawings[id]) })
	drawingPlaces = links[drawingPlace]("drawing_place", "drawing", "places", eachDrawing(placesShown),
		func(j *joiner, id scheduler.ID) *[]scheduler.ID { return placesShown(j.drawings[id]) })
)

func stepsShown(d *scheduler.Drawing) *[]scheduler.ID  { return &d.Steps }
func placesShown(d *scheduler.Drawing) *[]scheduler.ID { return &d.Places }

// eachDrawing goes through one of the lists of all drawings.
func eachDrawing(list func(*scheduler.Drawing) *[]scheduler.ID) func(*scheduler.Job, func(scheduler.ID, []scheduler.ID)) {
	return func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
		for k := range job.Drawings {
			do(job.Drawings[k].ID, *list(&job.Drawings[k]))
		}
	}
}
