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
	occupations, occupationsAdmit,
	dues, facts, waivers, pins, asides,
	issues, promises, promiseSteps, answers, answerSteps,
}

// divide is the rows of a job, for each table.
func divide(job *scheduler.Job) []decoded {
	all := make([]decoded, len(tables))
	for k, t := range tables {
		all[k] = t.divide(job)
	}
	return all
}
