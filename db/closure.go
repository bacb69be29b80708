package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// daysOff is one run of days on which nobody works.
type daysOff struct {
	ordered
	Name string        `json:"name" db:"key"`
	From worktime.Date `json:"from_day"`
	To   worktime.Date `json:"to_day"`
	Why  string        `json:"why"`
}

func allDaysOff(closures []scheduler.Closure) []daysOff {
	names := namer{}
	all := make([]daysOff, len(closures))
	for k, c := range closures {
		all[k] = daysOff{Name: names.name(c.From.String() + " to " + c.To.String()), From: c.From, To: c.To, Why: c.Why}
	}
	return all
}

func (d daysOff) closure() scheduler.Closure {
	return scheduler.Closure{From: d.From, To: d.To, Why: d.Why}
}

type closureRow struct{ daysOff }

var closures = content[closureRow]{
	name: "closure", kind: "closure",
	split: func(j *scheduler.Job) (rows []closureRow) {
		for _, d := range allDaysOff(j.Closures) {
			rows = append(rows, closureRow{d})
		}
		return rows
	},
	join: func(j *joiner, rows []closureRow) {
		for _, r := range rows {
			j.job.Closures = append(j.job.Closures, r.closure())
		}
	},
}

type tradeOff struct {
	Trade scheduler.ID `json:"trade" db:"owner"`
	daysOff
}

var tradesOff = content[tradeOff]{
	name: "trade_off", kind: "trade", list: "off",
	split: func(j *scheduler.Job) (rows []tradeOff) {
		for k := range j.Trades {
			for _, d := range allDaysOff(j.Trades[k].Off) {
				rows = append(rows, tradeOff{j.Trades[k].ID, d})
			}
		}
		return rows
	},
	join: func(j *joiner, rows []tradeOff) {
		for _, r := range rows {
			t := j.trades[r.Trade]
			t.Off = append(t.Off, r.closure())
		}
	},
}

type placeClosure struct {
	Place scheduler.ID `json:"place" db:"owner"`
	daysOff
}

var placeClosures = content[placeClosure]{
	name: "place_closure", kind: "place", list: "closures",
	split: func(j *scheduler.Job) (rows []placeClosure) {
		for k := range j.Places {
			for _, d := range allDaysOff(j.Places[k].Closures) {
				rows = append(rows, placeClosure{j.Places[k].ID, d})
			}
		}
		return rows
	},
	join: func(j *joiner, rows []placeClosure) {
		for _, r := range rows {
			p := j.places[r.Place]
			p.Closures = append(p.Closures, r.closure())
		}
	},
}
