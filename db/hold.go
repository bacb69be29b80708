package db

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type holdRow struct {
	ordered
	Step      scheduler.ID       `json:"step" db:"key"`
	Typical   scheduler.ID       `json:"typical,omitempty"`
	Title     string             `json:"title"`
	Kind      scheduler.HoldKind `json:"kind"`
	Witness   bool               `json:"witness"`
	By        scheduler.ID       `json:"by"`
	Notice    worktime.Span      `json:"notice"`
	Nominal   *int               `json:"nominal"`
	Tolerance int                `json:"tolerance"`
	work
	Note string `json:"note"`
}

// eachHold goes through the holds of a job and then of its typicals.
func eachHold(j *scheduler.Job, do func(typical scheduler.ID, h *scheduler.Hold)) {
	for k := range j.Holds {
		do("", &j.Holds[k])
	}
	for k := range j.Typicals {
		for n := range j.Typicals[k].Holds {
			do(j.Typicals[k].ID, &j.Typicals[k].Holds[n])
		}
	}
}

var holds = content[holdRow]{
	name: "hold", kind: "hold",
	split: func(j *scheduler.Job) []holdRow {
		rows := slices.Grow([]holdRow(nil), len(j.Holds))
		eachHold(j, func(typical scheduler.ID, h *scheduler.Hold) {
			rows = append(rows, holdRow{
				Step: within(typical, h.ID), Typical: typical, Title: h.Title, Kind: h.Kind, Witness: h.Witness,
				By: h.By, Notice: h.Notice, Nominal: h.Nominal, Tolerance: h.Tolerance, work: workOf(&h.Work), Note: h.Note,
			})
		})
		return rows
	},
	join: func(j *joiner, rows []holdRow) {
		j.job.Holds = slices.Grow(j.job.Holds, count(rows, func(r *holdRow) bool { return r.Typical == "" }))
		for k := range rows {
			r, all := &rows[k], &j.job.Holds
			if r.Typical != "" {
				all = &j.typicals[r.Typical].Holds
			}
			*all = append(*all, scheduler.Hold{
				ID: local(r.Typical, r.Step), Title: r.Title, Kind: r.Kind, Witness: r.Witness, By: r.By,
				Notice: r.Notice, Nominal: r.Nominal, Tolerance: r.Tolerance, Work: r.work.work(), Note: r.Note,
			})
		}
		j.holds = make(map[scheduler.ID]*scheduler.Hold, len(rows))
		eachHold(j.job, func(typical scheduler.ID, h *scheduler.Hold) { j.holds[within(typical, h.ID)] = h })
	},
}
