package scheduler

import "gaugerod/scheduler/worktime"

// HoldKind is what a hold point waits for.
type HoldKind string

// The kinds of hold points.
const (
	Delivery   HoldKind = "delivery"
	Inspection HoldKind = "inspection"
	Test       HoldKind = "test"
	Decision   HoldKind = "decision"
	Measure    HoldKind = "measure"
	Approval   HoldKind = "approval"
	MockUp     HoldKind = "mock-up"
)

// HoldKinds lists every kind.
var HoldKinds = []HoldKind{Delivery, Inspection, Test, Decision, Measure, Approval, MockUp}

// Hold is a gate: what depends on it does not start until a named person
// releases it. A witness point is a hold that stands open once its notice has
// passed and nobody came.
type Hold struct {
	ID        ID
	Title     string
	Kind      HoldKind
	Witness   bool
	By        ID            // the person who releases it
	Notice    worktime.Span // how long before the visit that person must be told
	Work                    // Takes may be zero: the release alone
	Nominal   *int          // measures: what it should be, mm
	Tolerance int           // measures: how far off it may be, mm
	Note      string
	Pos       Pos
}
