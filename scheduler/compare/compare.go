// Package compare holds two plans of one job against each other: what has moved, and
// who must be told. The earlier one is mostly a plan that was issued.
//
// Plans are compared in civil days of the job's zone: what moves within a day has not
// moved. What is done, released or delivered in the later plan is past, and nobody
// needs to be told of it.
package compare

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Change is what has become of something.
type Change string

// The changes.
const (
	Moved Change = "moved"
	New   Change = "new"  // it was not in the earlier plan
	Gone  Change = "gone" // it is not in the later plan
)

// Stretch is a run of days, both ends included.
type Stretch struct {
	From  worktime.Date `json:"from"`
	Until worktime.Date `json:"until"`
}

// Comparison is what differs between two plans of a job.
type Comparison struct {
	AsOfWas worktime.Date `json:"as_of_was"`
	AsOf    worktime.Date `json:"as_of"`
	Finish  DayMove       `json:"finish"` // the last planned finish
	Dues    []DueMove     `json:"dues"`   // those that have moved, in their order
	Windows []WindowMove  `json:"windows"`
	Holds   []HoldMove    `json:"holds"`
	Orders  []OrderMove   `json:"orders"`
	Calls   []Call        `json:"calls"` // who must be told, whom it concerns soonest first
}

// DayMove is a day in both plans.
type DayMove struct {
	Was   worktime.Date `json:"was"`
	Is    worktime.Date `json:"is"`
	Later int           `json:"later"` // civil days; negative: earlier
}

func dayOf(was, is worktime.Date) DayMove { return DayMove{Was: was, Is: is, Later: int(is - was)} }

// DueMove is a due day whose step finishes on another day than before.
type DueMove struct {
	ID        scheduler.ID  `json:"id"`
	Title     string        `json:"title"`
	By        worktime.Date `json:"by"`
	WasMissed bool          `json:"was_missed"`
	Missed    bool          `json:"missed"`
	DayMove
}

// WindowMove is a window of access that is not what it was.
type WindowMove struct {
	Window string         `json:"window"` // its name in the plan that it is told of from: the earlier one, or for new ones the later
	Trade  scheduler.ID   `json:"trade"`
	Place  scheduler.ID   `json:"place"`
	Steps  []scheduler.ID `json:"steps"`
	Change Change         `json:"change"`
	Was    *Stretch       `json:"was,omitempty"`
	Is     *Stretch       `json:"is,omitempty"`
	Begun  bool           `json:"begun,omitempty"` // the trade is there: only the end counts
}

// HoldMove is a hold point that is not planned when it was. The deliveries of orders are
// told with these.
type HoldMove struct {
	ID     scheduler.ID       `json:"id"`
	Title  string             `json:"title"`
	Kind   scheduler.HoldKind `json:"kind"`
	By     scheduler.ID       `json:"by,omitempty"`
	Change Change             `json:"change"`
	Was    *worktime.Date     `json:"was,omitempty"`
	Is     *worktime.Date     `json:"is,omitempty"`
}

// OrderMove is a long-lead item that is to be placed or comes on another day.
type OrderMove struct {
	ID          scheduler.ID   `json:"id"`
	Title       string         `json:"title"`
	Supplier    scheduler.ID   `json:"supplier,omitempty"`
	Change      Change         `json:"change"`
	Placed      bool           `json:"placed,omitempty"` // on its way: only the delivery counts
	OrderWas    *worktime.Date `json:"order_was,omitempty"`
	OrderIs     *worktime.Date `json:"order_is,omitempty"`
	DeliveryWas *worktime.Date `json:"delivery_was,omitempty"`
	DeliveryIs  *worktime.Date `json:"delivery_is,omitempty"`
}

// Plans compares an earlier plan of a job with a later one. The job is as it stands
// with the later plan; it says what people, trades and places are called.
func Plans(before, after *scheduler.Plan, job *scheduler.Job) *Comparison {
	c := &Comparison{
		AsOfWas: worktime.DateOf(before.AsOf), AsOf: worktime.DateOf(after.AsOf),
		Finish:  dayOf(endDay(before.Finish), endDay(after.Finish)),
		Dues:    dues(before.Dues, after.Dues),
		Windows: windows(before, after),
		Holds:   holds(before.Holds, after.Holds, after),
		Orders:  orders(before.Orders, after.Orders),
	}
	c.Calls = calls(c, job)
	return c
}

// Nothing says whether the two plans agree in all that is compared.
func (c *Comparison) Nothing() bool {
	return c.Finish.Later == 0 && len(c.Dues)+len(c.Windows)+len(c.Holds)+len(c.Orders) == 0
}
