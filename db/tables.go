package db

import "gaugerod/scheduler"

// tables is every table of a job's content, owners before what belongs to them.
var tables = []table{
	jobs, jobPeriods, closures, parties,
	trades, tradePeriods, tradesOff, people, gear,
	places, placePeriods, placeClosures,
	stepNames, typicals, typicalPlaces,
	tasks,
	taskLinks[stepTrade]("task_trade", "trades", tradesOf),
	taskLinks[stepPlace]("task_place", "places", placesOf),
	taskLinks[stepGear]("task_gear", "gear", gearOf),
	holds,
	holdLinks[stepTrade]("hold_trade", "trades", tradesOf),
	holdLinks[stepPlace]("hold_place", "places", placesOf),
	holdLinks[stepGear]("hold_gear", "gear", gearOf),
	orders, orderPlaces, ordersGear, stages,
	waits, buildUps, buildUpPlaces, layers, layersSeen,
	drawings, drawingSteps, drawingPlaces,
	occupations, occupationsAdmit,
	dues, facts, waivers, pins, asides,
	issues, promises, promiseSteps, answers, answerSteps,
}

// statements are those by which a table is written, and its name.
type statements struct{ table, insert, update, delete string }

// writing is the statements of each table.
var writing = func() []statements {
	all := make([]statements, len(tables))
	for k, t := range tables {
		shape := t.shape()
		all[k] = statements{shape.table, shape.insert(), shape.update(), shape.delete()}
	}
	return all
}()

// divide is the rows of a job, for each table. Tables that come out as they were
// before are those of before: a change touches few of them.
func divide(job *scheduler.Job, before *state) []decoded {
	all := make([]decoded, len(tables))
	for k, t := range tables {
		var was decoded
		if before.tables != nil {
			was = before.tables[k]
		}
		all[k] = t.divide(job, was)
	}
	return all
}
