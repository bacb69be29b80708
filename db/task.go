package db

import (
	"slices"

	"gaugerod/scheduler"
)

type taskRow struct {
	ordered
	Step    scheduler.ID `json:"step" db:"key"`
	Typical scheduler.ID `json:"typical,omitempty"`
	Title   string       `json:"title"`
	work
	spread
	Note string `json:"note"`
}

// eachTask goes through the tasks of a job and then of its typicals.
func eachTask(j *scheduler.Job, do func(typical scheduler.ID, t *scheduler.Task)) {
	for k := range j.Tasks {
		do("", &j.Tasks[k])
	}
	for k := range j.Typicals {
		for n := range j.Typicals[k].Tasks {
			do(j.Typicals[k].ID, &j.Typicals[k].Tasks[n])
		}
	}
}

var tasks = content[taskRow]{
	name: "task", kind: "task",
	split: func(j *scheduler.Job) []taskRow {
		rows := slices.Grow([]taskRow(nil), len(j.Tasks))
		eachTask(j, func(typical scheduler.ID, t *scheduler.Task) {
			rows = append(rows, taskRow{Step: within(typical, t.ID), Typical: typical, Title: t.Title, work: workOf(&t.Work), spread: spread(t.Spread), Note: t.Note})
		})
		return rows
	},
	join: func(j *joiner, rows []taskRow) {
		j.job.Tasks = slices.Grow(j.job.Tasks, count(rows, func(r *taskRow) bool { return r.Typical == "" }))
		for k := range rows {
			r, all := &rows[k], &j.job.Tasks
			if r.Typical != "" {
				all = &j.typicals[r.Typical].Tasks
			}
			*all = append(*all, scheduler.Task{ID: local(r.Typical, r.Step), Title: r.Title, Work: r.work.work(), Spread: scheduler.Spread(r.spread), Note: r.Note})
		}
		j.tasks = make(map[scheduler.ID]*scheduler.Task, len(rows))
		eachTask(j.job, func(typical scheduler.ID, t *scheduler.Task) { j.tasks[within(typical, t.ID)] = t })
	},
}
