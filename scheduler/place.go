package scheduler

import "gaugerod/scheduler/worktime"

// Place is a part of the building. Places form a tree: a task in an opening is
// also in its wall and in the house.
type Place struct {
	ID       ID
	Title    string
	Within   ID             // the place around it, empty at the top
	Room     int            // how many tasks at once here and below; 0: no limit
	Week     *worktime.Week // working periods of its own, nil: the site's
	Closures []Closure
	Pos      Pos
}
