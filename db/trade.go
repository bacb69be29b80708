package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type tradeRow struct {
	ordered
	ID      scheduler.ID  `json:"id" db:"key"`
	Title   string        `json:"title"`
	Short   string        `json:"short"`
	Crews   int           `json:"crews"`
	OwnWeek bool          `json:"own_week"`
	Notice  worktime.Span `json:"notice"`
}

var trades = content[tradeRow]{
	name: "trade", kind: "trade",
	split: func(j *scheduler.Job) (rows []tradeRow) {
		for _, t := range j.Trades {
			rows = append(rows, tradeRow{ID: t.ID, Title: t.Title, Short: t.Short, Crews: t.Crews, OwnWeek: t.Week != nil, Notice: t.Notice})
		}
		return rows
	},
	join: func(j *joiner, rows []tradeRow) {
		for _, r := range rows {
			j.job.Trades = append(j.job.Trades, scheduler.Trade{
				ID: r.ID, Title: r.Title, Short: r.Short, Crews: r.Crews, Week: ownWeek(r.OwnWeek), Notice: r.Notice,
			})
		}
		j.trades = byName(j.job.Trades, func(t *scheduler.Trade) scheduler.ID { return t.ID })
	},
}
