package api

import (
	"context"

	"gaugerod/api/office"
	"gaugerod/scheduler/selfcheck"
)

// SelfCheckBody is every check of the schedule against published guidance, each
// with its formula, figure, limit and source.
type SelfCheckBody struct {
	Standing
	Checks []selfcheck.Check `json:"checks" nullable:"false"`
}

func (s *Server) selfCheckRoutes() {
	register(s, get("self-check", "/jobs/{job}/self-check", "The schedule held against published guidance, and the engine against its own test"),
		func(ctx context.Context, in *PlanQuery) (*Answer[SelfCheckBody], error) {
			return answerPlan(ctx, s, in, func(sheet *office.Sheet, standing Standing) (SelfCheckBody, error) {
				checks, err := s.office.SelfCheck(ctx, sheet)
				return SelfCheckBody{Standing: standing, Checks: list(checks)}, err
			})
		})
}
