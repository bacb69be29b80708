package db

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"

	"github.com/jackc/pgx/v5/pgconn"

	"gaugerod/scheduler"
)

// ErrUnavailable says that the database cannot be reached or is going down. What
// was asked may be asked again.
var ErrUnavailable = errors.New("the database is not available")

// ErrText is the answer to text that Postgres does not keep: what is not UTF-8, or has
// a zero byte in it.
var ErrText = errors.New("that is no text")

// RefusedError says that the database holds a job to a rule that it breaks. Jobs
// are held to the rules of the domain first, so this one means that the two differ.
type RefusedError struct {
	Constraint string // the constraint, or the domain, by its name
	Table      string
	cause      error
}

func (e *RefusedError) Error() string {
	return fmt.Sprintf("the database refuses it: %s of %s is broken: %v", e.Constraint, e.Table, e.cause)
}

// Unwrap is what Postgres said.
func (e *RefusedError) Unwrap() error { return e.cause }

// explain makes a Postgres error one of ours, by its SQLSTATE and constraint.
func explain(err error) error {
	var refused *pgconn.PgError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case errors.As(err, &refused):
	case lost(err):
		return fmt.Errorf("%w: %w", ErrUnavailable, err)
	default:
		return err
	}
	switch class := refused.Code[:2]; {
	case refused.ConstraintName == "plan_job_fkey", refused.ConstraintName == "comparison_job_fkey",
		refused.ConstraintName == "attachment_job_fkey", refused.ConstraintName == "trial_job_fkey":
		return fmt.Errorf("the job of the %s is %w", refused.TableName, scheduler.ErrNotFound)
	case class == "23":
		return &RefusedError{Constraint: refused.ConstraintName, Table: refused.TableName, cause: err}
	case refused.Code == "22021", refused.Code == "22P05":
		return fmt.Errorf("%w: %w", ErrText, err)
	case class == "08", class == "57", refused.Code == "53300":
		return fmt.Errorf("%w: %w", ErrUnavailable, err)
	}
	return err
}

// lost says whether a connection could not be made or has broken.
func lost(err error) bool {
	var unreached *pgconn.ConnectError
	var broken *net.OpError
	return errors.As(err, &unreached) || errors.As(err, &broken) || pgconn.SafeToRetry(err) || // closed before anything was sent
		errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) || errors.Is(err, net.ErrClosed)
}
