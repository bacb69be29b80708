// Package selfcheck holds a schedule against what published guidance asks of one,
// and the engine against its own test. Each check states its formula, its figure,
// its limit and where the limit comes from; there is no overall score, because a
// schedule with one covered hold point is not made good by twenty other checks.
//
// Sources say "from memory" where the document was not at hand when the check was
// written, and "common practice, no source" where there is none.
package selfcheck

import (
	"context"

	"gaugerod/scheduler"
)

// Result is what came of a check.
type Result string

// The results of a check.
const (
	Pass Result = "pass"
	Fail Result = "fail"
	Info Result = "for information" // a count or list without a limit that fits every job
)

// Item is one thing that a check counted.
type Item struct {
	Steps []scheduler.ID `json:"steps,omitempty"`
	Text  string         `json:"text"`
}

// Check is one question put to a schedule and its answer.
type Check struct {
	Name    string `json:"name"`
	Formula string `json:"formula"`
	Figure  string `json:"figure"`
	Limit   string `json:"limit"` // "none" where the figure is for information
	Result  Result `json:"result"`
	Source  string `json:"source"`
	Items   []Item `json:"items,omitempty"`
}

// Replan plans a changed copy of the job as of the same day, as the program does.
type Replan func(context.Context, *scheduler.Job) (*scheduler.Plan, error)

const (
	commonPractice = "common practice, no source"
	pamphlet       = "DCMA-EA PAM 200.1, October 2012, section 4"
	guide          = "GAO-16-89G Schedule Assessment Guide, December 2015 (from memory)"
	federalWorks   = "UFGS 01 32 01.00 10 Project Schedule, February 2015"
)

// Run puts every check to a plan of an expanded network, always in the same order.
// The engine's own test plans the job twice more through replan; with a nil replan
// it is left out. An error is replan's or the context's.
func Run(ctx context.Context, net *scheduler.Network, plan *scheduler.Plan, replan func(context.Context, *scheduler.Job) (*scheduler.Plan, error)) ([]Check, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s := newSubject(net, plan)
	checks := []Check{
		s.looseShare(), s.looseEnds(), s.oneEnded(), s.joins(),
		s.waitsWithoutReason(), s.leads(), s.waitsWithTime(), s.otherEnds(), s.longWaits(), s.idleWaivers(),
		s.longTasks(), s.noTrade(),
		s.negativeFloat(), s.highFloat(), s.pathIndex(),
		s.pinnedDays(), s.impossibleDates(), s.promisesMissed(), s.contradictions(),
		s.unattendedHolds(), s.ordersPast(), s.ordersSoon(),
	}
	checks = append(checks, s.fromAlerts()...)
	if replan == nil {
		return checks, nil
	}
	engine, err := engineTest(ctx, net.Job, plan, replan)
	if err != nil {
		return nil, err
	}
	return append(checks, engine), nil
}
