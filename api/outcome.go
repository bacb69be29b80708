package api

import (
	"context"
	"fmt"
	"strings"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
)

// OutcomeBody is what would come of a trial: nothing of it is kept.
type OutcomeBody struct {
	Standing
	Version int                 `json:"version" doc:"The state of the trial that this is of."`
	Moved   *compare.Comparison `json:"moved" doc:"What moves beside the plan as it stands, and who would have to be told."`
	Fresh   []scheduler.Alert   `json:"fresh" nullable:"false" doc:"Alerts that only the trial's plan has."`
	Gone    []scheduler.Alert   `json:"gone" nullable:"false" doc:"Alerts that it no longer has."`
}

// TrialPlanBody is the plan of a job as a trial has it.
type TrialPlanBody struct {
	Standing
	Version int             `json:"version" doc:"The state of the trial that this is of."`
	Plan    *scheduler.Plan `json:"plan"`
}

// OutcomeQuery reads what comes of a trial.
type OutcomeQuery struct {
	TrialPath
	IfNoneMatch string `header:"If-None-Match" doc:"An ETag seen before: 304 when nothing has changed since."`
}

func (s *Server) outcomeRoutes() {
	register(s, get("get-outcome", "/jobs/{job}/trials/{trial}/outcome", "What would move if a trial were adopted, and who would have to be told"),
		func(ctx context.Context, in *OutcomeQuery) (*Answer[OutcomeBody], error) {
			return answerTried(ctx, s, in, func(t *office.Tried, version int, standing Standing) OutcomeBody {
				return OutcomeBody{Standing: standing, Version: version, Moved: t.Moved, Fresh: list(t.Fresh), Gone: list(t.Gone)}
			})
		})
	register(s, get("get-trial-plan", "/jobs/{job}/trials/{trial}/plan", "The plan that a trial would have"),
		func(ctx context.Context, in *OutcomeQuery) (*Answer[TrialPlanBody], error) {
			return answerTried(ctx, s, in, func(t *office.Tried, version int, standing Standing) TrialPlanBody {
				return TrialPlanBody{Standing: standing, Version: version, Plan: t.Then.Plan}
			})
		})
}

// answerTried reads something of what comes of a trial that is open.
func answerTried[B any](ctx context.Context, s *Server, in *OutcomeQuery, show func(*office.Tried, int, Standing) B) (*Answer[B], error) {
	t, err := s.office.Trials().Trial(ctx, in.Job, in.Trial)
	if err != nil {
		return nil, err
	}
	if err := t.Settled(); err != nil {
		return nil, err
	}
	revision, day, take, err := s.office.Take(ctx, in.Job, nil)
	if err != nil {
		return nil, err
	}
	if take > 0 {
		if err := unchanged(in.IfNoneMatch, triedTag(planTag(revision, day, take), t.Version)); err != nil {
			return nil, err
		}
	}
	tried, err := s.office.Try(ctx, in.Job, t.Ops)
	if err != nil {
		return nil, err
	}
	now := tried.Now
	return &Answer[B]{
		ETag: triedTag(planTag(now.Revision, now.AsOf, now.Take), t.Version), CacheControl: revalidate,
		Body: show(tried, t.Version, Standing{Revision: now.Revision, AsOf: &now.AsOf}),
	}, nil
}

// triedTag is the ETag of what comes of a version of a trial beside a plan.
func triedTag(plan string, version int) string {
	return fmt.Sprintf(`%s-trial-%d"`, strings.TrimSuffix(plan, `"`), version)
}
