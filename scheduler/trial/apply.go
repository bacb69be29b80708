package trial

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/rules"
)

// MostOps is how many statements one trial can have. More is a new job, not a trial.
// Common practice, no source.
const MostOps = 50

// OpError says which statement of a trial a job does not take.
type OpError struct {
	At    int // its place in the list, from 0
	Cause error
}

// Error is what is wrong, with the number of the change as people count.
func (e *OpError) Error() string { return fmt.Sprintf("change %d: %v", e.At+1, e.Cause) }

// Unwrap is what the job said.
func (e *OpError) Unwrap() error { return e.Cause }

// Apply is a copy of the job with all statements applied in order. The job itself
// stays as it is.
//
// Errors are an *OpError where a statement cannot be applied, its cause a
// *scheduler.Refusal or the scheduler.Faults that the statement would bring in.
func Apply(job *scheduler.Job, ops []Op) (*scheduler.Job, error) {
	if len(ops) > MostOps {
		return nil, refuse(scheduler.ErrImpossible, "ops", "take some out, or adopt what is certain first",
			"a trial with %d changes is too much at once; there can be %d", len(ops), MostOps)
	}
	tried := job.Copy()
	for k, op := range ops {
		c, err := op.one()
		if err == nil {
			err = c.apply(tried)
		}
		if err != nil {
			return nil, &OpError{At: k, Cause: err}
		}
	}
	tried.Canonical()
	if faults := rules.Check(tried); len(faults) > 0 {
		return nil, blame(job, ops, faults)
	}
	return tried, nil
}

// blame finds the statement after which a job is unsound for the first time. It takes
// as many checks as there are statements, only where something is wrong.
func blame(job *scheduler.Job, ops []Op, all scheduler.Faults) error {
	tried := job.Copy()
	for k, op := range ops {
		if c, err := op.one(); err != nil || c.apply(tried) != nil {
			break
		}
		if faults := rules.Check(tried); len(faults) > 0 {
			return &OpError{At: k, Cause: faults}
		}
	}
	return &OpError{At: len(ops) - 1, Cause: all}
}
