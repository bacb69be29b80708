package db

import "gaugerod/scheduler"

// joiner puts rows together to a job. Each kind of thing that has parts is found
// by name; a thing is there before its parts.
type joiner struct {
	job         *scheduler.Job
	trades      map[scheduler.ID]*scheduler.Trade
	places      map[scheduler.ID]*scheduler.Place
	typicals    map[scheduler.ID]*scheduler.Typical
	tasks       map[scheduler.ID]*scheduler.Task // by step
	holds       map[scheduler.ID]*scheduler.Hold // by step
	orders      map[scheduler.ID]*scheduler.Order
	buildUps    map[scheduler.ID]*scheduler.BuildUp
	layers      map[[2]scheduler.ID]*scheduler.Layer // by build-up and layer
	drawings    map[scheduler.ID]*scheduler.Drawing
	occupations map[scheduler.ID]*scheduler.Occupation
	promises    map[scheduler.ID]*scheduler.Promise // by window
	answers     map[scheduler.ID]*scheduler.Answer
}

// byName finds the things of a slice that grows no more.
func byName[T any](things []T, name func(*T) scheduler.ID) map[scheduler.ID]*T {
	m := make(map[scheduler.ID]*T, len(things))
	for k := range things {
		m[name(&things[k])] = &things[k]
	}
	return m
}
