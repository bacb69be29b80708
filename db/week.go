package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// period is one working period of a week.
type period struct {
	ordered
	Weekday int            `json:"weekday" db:"key"`
	From    worktime.Clock `json:"from_minute" db:"key"`
	To      worktime.Clock `json:"to_minute"`
}

func periods(w *worktime.Week) (all []period) {
	if w == nil {
		return nil
	}
	for day := range w {
		for _, p := range w[day] {
			all = append(all, period{Weekday: day, From: p.From, To: p.To})
		}
	}
	return all
}

func (p period) addTo(w *worktime.Week) {
	w[p.Weekday] = append(w[p.Weekday], worktime.Period{From: p.From, To: p.To})
}

// ownWeek is an empty week to be filled, where there is one.
func ownWeek(own bool) *worktime.Week {
	if own {
		return new(worktime.Week)
	}
	return nil
}

type jobPeriod struct{ period }

var jobPeriods = content[jobPeriod]{
	name: "job_period", kind: "job", list: "week",
	split: func(j *scheduler.Job) (rows []jobPeriod) {
		for _, p := range periods(&j.Week) {
			rows = append(rows, jobPeriod{p})
		}
		return rows
	},
	join: func(j *joiner, rows []jobPeriod) {
		for _, r := range rows {
			r.addTo(&j.job.Week)
		}
	},
}

type tradePeriod struct {
	Trade scheduler.ID `json:"trade" db:"owner"`
	period
}

var tradePeriods = content[tradePeriod]{
	name: "trade_period", kind: "trade", list: "week",
	split: func(j *scheduler.Job) (rows []tradePeriod) {
		for k := range j.Trades {
			for _, p := range periods(j.Trades[k].Week) {
				rows = append(rows, tradePeriod{j.Trades[k].ID, p})
			}
		}
		return rows
	},
	join: func(j *joiner, rows []tradePeriod) {
		for _, r := range rows {
			r.addTo(j.trades[r.Trade].Week)
		}
	},
}

type placePeriod struct {
	Place scheduler.ID `json:"place" db:"owner"`
	period
}

var placePeriods = content[placePeriod]{
	name: "place_period", kind: "place", list: "week",
	split: func(j *scheduler.Job) (rows []placePeriod) {
		for k := range j.Places {
			for _, p := range periods(j.Places[k].Week) {
				rows = append(rows, placePeriod{j.Places[k].ID, p})
			}
		}
		return rows
	},
	join: func(j *joiner, rows []placePeriod) {
		for _, r := range rows {
			r.addTo(j.places[r.Place].Week)
		}
	},
}
