package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type waiverRow struct {
	ordered
	Name     string        `json:"name" db:"key"`
	FromStep scheduler.ID  `json:"from_step"`
	FromEnd  string        `json:"from_end"`
	ToStep   scheduler.ID  `json:"to_step"`
	ToEnd    string        `json:"to_end"`
	By       scheduler.ID  `json:"by"`
	On       worktime.Date `json:"on_day"`
	Reason   string        `json:"reason"`
}

var waivers = content[waiverRow]{
	name: "waiver", kind: "waiver",
	split: func(j *scheduler.Job) (rows []waiverRow) {
		names := namer{}
		for _, w := range j.Waivers {
			rows = append(rows, waiverRow{
				Name: names.name(between(w.From, w.To)), FromStep: w.From.Step, FromEnd: w.From.End.String(),
				ToStep: w.To.Step, ToEnd: w.To.End.String(), By: w.By, On: w.On, Reason: w.Reason,
			})
		}
		return rows
	},
	join: func(j *joiner, rows []waiverRow) {
		for _, r := range rows {
			j.job.Waivers = append(j.job.Waivers, scheduler.Waiver{
				From: point(r.FromStep, r.FromEnd), To: point(r.ToStep, r.ToEnd), By: r.By, On: r.On, Reason: r.Reason,
			})
		}
	},
}
