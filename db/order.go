package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type orderRow struct {
	ordered
	ID       scheduler.ID        `json:"id" db:"key"`
	Title    string              `json:"title"`
	Supplier scheduler.ID        `json:"supplier,omitempty"`
	Receives scheduler.ID        `json:"receives,omitempty"`
	Unload   worktime.Span       `json:"unload"`
	Keep     worktime.Span       `json:"keep"`
	StandIn  string              `json:"stand_in"`
	Cautions []scheduler.Caution `json:"cautions"`
	Note     string              `json:"note"`
}

var orders = content[orderRow]{
	name: "order", kind: "order",
	split: func(j *scheduler.Job) (rows []orderRow) {
		for k := range j.Orders {
			o := &j.Orders[k]
			rows = append(rows, orderRow{
				ID: o.ID, Title: o.Title, Supplier: o.Supplier, Receives: o.Receives, Unload: o.Unload,
				Keep: o.Keep, StandIn: o.StandIn, Cautions: listed(o.Cautions), Note: o.Note,
			})
		}
		return rows
	},
	join: func(j *joiner, rows []orderRow) {
		for _, r := range rows {
			j.job.Orders = append(j.job.Orders, scheduler.Order{
				ID: r.ID, Title: r.Title, Supplier: r.Supplier, Receives: r.Receives, Unload: r.Unload,
				Keep: r.Keep, StandIn: r.StandIn, Cautions: unlisted(r.Cautions), Note: r.Note,
			})
		}
		j.orders = byName(j.job.Orders, func(o *scheduler.Order) scheduler.ID { return o.ID })
	},
}

type orderPlace struct {
	ordered
	Owner  scheduler.ID `json:"order" db:"owner"`
	Member scheduler.ID `json:"place" db:"key"`
}

var orderPlaces = links[orderPlace]("order_place", "order", "places",
	func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
		for k := range job.Orders {
			do(job.Orders[k].ID, job.Orders[k].Places)
		}
	},
	func(j *joiner, id scheduler.ID) *[]scheduler.ID { return &j.orders[id].Places })

type orderGear struct {
	ordered
	Owner  scheduler.ID `json:"order" db:"owner"`
	Member scheduler.ID `json:"gear" db:"key"`
}

var ordersGear = links[orderGear]("order_gear", "order", "gear",
	func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
		for k := range job.Orders {
			do(job.Orders[k].ID, job.Orders[k].Gear)
		}
	},
	func(j *joiner, id scheduler.ID) *[]scheduler.ID { return &j.orders[id].Gear })

type stageRow struct {
	ordered
	Order scheduler.ID  `json:"order" db:"key"`
	ID    scheduler.ID  `json:"id" db:"key"`
	Title string        `json:"title"`
	Takes worktime.Span `json:"takes"`
	spread
	By scheduler.ID `json:"by,omitempty"`
}

var stages = content[stageRow]{
	name: "stage", kind: "stage",
	split: func(j *scheduler.Job) (rows []stageRow) {
		for k := range j.Orders {
			for _, s := range j.Orders[k].Stages {
				rows = append(rows, stageRow{Order: j.Orders[k].ID, ID: s.ID, Title: s.Title, Takes: s.Takes, spread: spread(s.Spread), By: s.By})
			}
		}
		return rows
	},
	join: func(j *joiner, rows []stageRow) {
		for _, r := range rows {
			o := j.orders[r.Order]
			o.Stages = append(o.Stages, scheduler.Stage{ID: r.ID, Title: r.Title, Takes: r.Takes, Spread: scheduler.Spread(r.spread), By: r.By})
		}
	},
}
