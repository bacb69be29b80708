package scheduler

import "gaugerod/scheduler/worktime"

// Trade is a firm or gang that comes and goes.
type Trade struct {
	ID     ID
	Title  string
	Short  string         // two to four letters, shown on pictures beside its pattern
	Crews  int            // how many crews it can send at once, at least 1
	Week   *worktime.Week // working periods of its own, nil: the site's
	Off    []Closure
	Notice worktime.Span // how long before a visit it must be told
	Pos    Pos
}
