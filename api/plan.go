package api

import (
	"context"
	"encoding/json"
	"io"

	"gaugerod/api/office"
	"gaugerod/scheduler"
)

// PlanBody is the whole plan. It is not kept as written: it is the largest by far, and
// soon written from what it is packed as.
type PlanBody struct {
	Standing
	Plan  *scheduler.Plan       `json:"plan"`
	write func(io.Writer) error // the plan alone
}

// writeJSON writes what encoding/json would.
func (b PlanBody) writeJSON(w io.Writer) error {
	standing, err := json.Marshal(b.Standing)
	if err != nil {
		return err
	}
	if _, err := w.Write(append(standing[:len(standing)-1], `,"plan":`...)); err != nil {
		return err
	}
	if err := b.write(w); err != nil {
		return err
	}
	_, err = io.WriteString(w, "}\n")
	return err
}

func (s *Server) planRoutes() {
	register(s, get("get-plan", "/jobs/{job}/plan", "The plan: every date with what drives it, windows, alerts, finish and bound"),
		func(ctx context.Context, in *PlanQuery) (*Answer[PlanBody], error) {
			return answerPlan(ctx, s, in, func(sheet *office.Sheet, standing Standing) (PlanBody, error) {
				return PlanBody{Standing: standing, Plan: sheet.Plan, write: sheet.WritePlan}, nil
			})
		})
}
