package scheduler

import "gaugerod/scheduler/worktime"

// Fact is what has been recorded of one step. A task or stage may be started and
// done; a hold is booked, expected, released or refused. The program never
// releases a hold by itself.
type Fact struct {
	Step      ID
	Started   *worktime.When
	Done      *worktime.When
	Remaining *worktime.Span // what is left of a started step, as of the as-of day
	Booked    *worktime.When // the visit has been arranged for then
	Expected  *worktime.When // the latest word on when it comes; takes the place of what was computed
	Released  *worktime.When
	Refused   *worktime.When // it was looked at and not released
	Measured  *int           // measures: what was found, mm
	By        ID             // who released, refused or reported; a trade may report
	Note      string
	Evidence  string
	Pos       Pos
}
