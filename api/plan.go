package api

import (
	"context"

	"gaugerod/api/office"
	"gaugerod/scheduler"
)

// PlanBody is the whole plan.
type PlanBody struct {
	Standing
	Plan *scheduler.Plan `json:"plan"`
}

func (s *Server) planRoutes() {
	register(s, get("get-plan", "/jobs/{job}/plan", "The plan: every date with what drives it, windows, alerts, finish and bound"),
		func(ctx context.Context, in *PlanQuery) (*Answer[PlanBody], error) {
			return answerPlan(ctx, s, in, func(sheet *office.Sheet, standing Standing) (PlanBody, error) {
				return PlanBody{Standing: standing, Plan: sheet.Plan}, nil
			})
		})
}
