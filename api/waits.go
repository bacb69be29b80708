package api

import (
	"context"
	"net/http"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// WaitsBody is the waits of a job with the times they join.
type WaitsBody struct {
	Standing
	Waits []scheduler.PlannedWait `json:"waits" nullable:"false"`
}

// PointBody is one end of one step.
type PointBody struct {
	Step scheduler.ID `json:"step" minLength:"1" maxLength:"200"`
	End  string       `json:"end" enum:"start,finish"`
}

func (p PointBody) point() scheduler.Point {
	if p.End == scheduler.Finish.String() {
		return scheduler.Point{Step: p.Step, End: scheduler.Finish}
	}
	return scheduler.Point{Step: p.Step, End: scheduler.Start}
}

func showPoint(p scheduler.Point) PointBody { return PointBody{Step: p.Step, End: p.End.String()} }

// WaiverBody lifts a wait, with a reason.
type WaiverBody struct {
	From   PointBody      `json:"from"`
	To     PointBody      `json:"to"`
	By     scheduler.ID   `json:"by" maxLength:"100" doc:"The person who says so."`
	On     *worktime.Date `json:"on,omitempty" doc:"Left out: today."`
	Reason string         `json:"reason" maxLength:"2000"`
}

// WaiversBody is the waits that are lifted.
type WaiversBody struct {
	Standing
	Waivers []WaiverBody `json:"waivers" nullable:"false"`
}

func (s *Server) waitRoutes() {
	register(s, get("list-waits", "/jobs/{job}/waits", "Waits between steps, each with its reason"),
		func(ctx context.Context, in *PlanQuery) (*Answer[WaitsBody], error) {
			return answerPlan(ctx, s, in, func(sheet *office.Sheet, standing Standing) (WaitsBody, error) {
				return WaitsBody{Standing: standing, Waits: list(sheet.Plan.Waits)}, nil
			})
		})
	register(s, get("list-waivers", "/jobs/{job}/waivers", "Waits that are lifted"),
		func(ctx context.Context, in *JobQuery) (*Answer[WaiversBody], error) {
			return answerJob(ctx, s, in, showWaivers)
		})
	register(s, route{id: "waive", method: http.MethodPost, path: "/jobs/{job}/waivers", summary: "Lift a wait, with a reason; it stays visible"}, s.waive)
	register(s, route{id: "unwaive", method: http.MethodDelete, path: "/jobs/{job}/waivers", summary: "Put a lifted wait back in force"}, s.unwaive)
}

func showWaivers(j *scheduler.Job, standing Standing) (WaiversBody, error) {
	b := WaiversBody{Standing: standing, Waivers: make([]WaiverBody, 0, len(j.Waivers))}
	for _, w := range j.Waivers {
		b.Waivers = append(b.Waivers, WaiverBody{From: showPoint(w.From), To: showPoint(w.To), By: w.By, On: &w.On, Reason: w.Reason})
	}
	return b, nil
}

func (s *Server) waive(ctx context.Context, in *struct {
	Change
	Body WaiverBody
},
) (*Changed, error) {
	return s.commit(ctx, in.Change, func(j *scheduler.Job) error {
		on, err := s.day(j, in.Body.On)
		if err != nil {
			return err
		}
		return j.Waive(scheduler.Waiver{From: in.Body.From.point(), To: in.Body.To.point(), By: in.Body.By, On: on, Reason: in.Body.Reason})
	})
}

func (s *Server) unwaive(ctx context.Context, in *struct {
	Change
	FromStep scheduler.ID `query:"from_step" required:"true" minLength:"1" maxLength:"200"`
	FromEnd  string       `query:"from_end" required:"true" enum:"start,finish"`
	ToStep   scheduler.ID `query:"to_step" required:"true" minLength:"1" maxLength:"200"`
	ToEnd    string       `query:"to_end" required:"true" enum:"start,finish"`
},
) (*Changed, error) {
	from, to := PointBody{in.FromStep, in.FromEnd}, PointBody{in.ToStep, in.ToEnd}
	return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.Unwaive(from.point(), to.point()) })
}

// day is the day a person means who names none.
func (s *Server) day(job *scheduler.Job, said *worktime.Date) (worktime.Date, error) {
	if said != nil {
		return *said, nil
	}
	return s.office.AsOf(job)
}

// list is vs, never null.
func list[T any](vs []T) []T {
	if vs == nil {
		return []T{}
	}
	return vs
}
