package trial

import (
	"errors"
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
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
// *scheduler.Refusal, or the scheduler.Faults or jobfile.Misfits that the statement
// would bring in.
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
			return nil, blameOr(job, ops[:k], &OpError{At: k, Cause: err})
		}
	}
	tried.Canonical()
	if faults := rules.Check(tried); len(faults) > 0 {
		return nil, blame(job, ops, faults)
	}
	return tried, nil
}

// Make makes the changes in the job itself. The errors are those of Apply; then the job
// is as it was.
func Make(job *scheduler.Job, ops []Op) error {
	after, err := Apply(job, ops)
	if err == nil {
		*job = *after
	}
	return err
}

// blameOr is an error of what comes after some statements. Who puts a thing reads the
// whole job, and finds what an earlier statement has made unsound.
func blameOr(job *scheduler.Job, before []Op, err *OpError) error {
	if _, whole := errors.AsType[jobfile.Misfits](err.Cause); !whole || len(before) == 0 {
		return err
	}
	var earlier *OpError
	if _, e := Apply(job, before); errors.As(e, &earlier) {
		return earlier
	}
	return err
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
