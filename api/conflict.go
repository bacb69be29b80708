package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// mostSince is how many lines of history a conflict shows.
const mostSince = 50

// sinceThen makes of a stale change the answer that shows what the others have
// changed meanwhile. Other errors stay what they are.
func (s *Server) sinceThen(ctx context.Context, job scheduler.ID, err error) error {
	stale, ok := errors.AsType[*db.StaleError](err)
	if !ok {
		return err
	}
	lines, e := s.office.History(ctx, job, 0, mostSince)
	if e != nil {
		return errors.Join(err, e)
	}
	p := *ProblemOf(err)
	for _, l := range lines {
		if l.Revision > stale.At {
			p.Since = append(p.Since, showHistory(l))
		}
	}
	p.Revision = stale.Newest
	p.Status = http.StatusPreconditionFailed
	p.Detail = fmt.Sprintf("Your change was made from revision %d; the job is at revision %d. since lists what others have changed. "+
		"Look at it, and send your change again with the new revision if it still holds. Nothing has been changed.", stale.At, stale.Newest)
	return &p
}
