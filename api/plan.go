package api

import (
	"context"
	"encoding/json"
	"slices"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planfile"
)

// PlanBody is the whole plan.
type PlanBody struct {
	Standing
	Plan *scheduler.Plan `json:"plan"`
}

// sizeOfStep is about how many bytes a plan has for each step.
const sizeOfStep = 2500

// appendJSON writes what encoding/json would.
func (b PlanBody) appendJSON(data []byte) ([]byte, error) {
	standing, err := json.Marshal(b.Standing)
	if err != nil {
		return nil, err
	}
	data = slices.Grow(data, len(standing)+sizeOfStep*(1+len(b.Plan.Steps)))
	data = append(data, standing[:len(standing)-1]...)
	data = append(data, `,"plan":`...)
	data = planfile.Append(data, b.Plan)
	return append(data, '}'), nil
}

func (s *Server) planRoutes() {
	register(s, get("get-plan", "/jobs/{job}/plan", "The plan: every date with what drives it, windows, alerts, finish and bound"),
		func(ctx context.Context, in *PlanQuery) (*Answer[PlanBody], error) {
			return answerPlan(ctx, s, in, func(sheet *office.Sheet, standing Standing) (PlanBody, error) {
				return PlanBody{Standing: standing, Plan: sheet.Plan}, nil
			})
		})
}
