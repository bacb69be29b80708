package scheduler

import "gaugerod/scheduler/worktime"

// End is one of the two ends of a step.
type End uint8

// The two ends of a step.
const (
	Start End = iota
	Finish
)

// String is "start" or "finish".
func (e End) String() string {
	if e == Start {
		return "start"
	}
	return "finish"
}

// Point is one end of one step.
type Point struct {
	Step ID
	End  End
}

// String is in words: "finish of pour".
func (p Point) String() string { return p.End.String() + " of " + string(p.Step) }

// Reason is why a wait exists.
type Reason string

// The reasons of waits.
const (
	Cure     Reason = "cure"     // something sets, dries or hardens
	Buried   Reason = "buried"   // the later covers the earlier
	Access   Reason = "access"   // one cannot reach, stand or carry before the other
	Exposure Reason = "exposure" // something may not stay open longer
	Sense    Reason = "sense"    // nothing but the sense of the work
)

// Reasons lists every reason.
var Reasons = []Reason{Cure, Buried, Access, Exposure, Sense}

// Wait orders two ends of two steps: from From to To at least Least and, where
// Most is given, at most Most. Working spans count the site's working time.
//
// In the Job, a step may be named in three ways: a task, hold or order stage
// ("windows.making"); one instance of a typical ("opening-n3.pan"); or every
// instance of a typical's step ("openings.pan"). Within a typical, its own local
// names come first. In a Network each wait joins two steps.
type Wait struct {
	From, To Point
	Least    worktime.Span
	Most     *worktime.Span
	Reason   Reason // empty: none given
	Note     string
	Source   string // where the figure comes from
	Origin   string // set by expansion: what made it, in words; empty: written as it is
	Pos      Pos
}

// Waiver lifts a wait, or a hold point's gate on what follows, with a reason. It
// stays visible.
type Waiver struct {
	From, To Point
	By       ID
	On       worktime.Date
	Reason   string
	Pos      Pos
}
