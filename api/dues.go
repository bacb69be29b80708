package api

import (
	"context"
	"net/http"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// DuesBody is the due days and what the plan makes of them.
type DuesBody struct {
	Standing
	Dues []scheduler.PlannedDue `json:"dues" nullable:"false"`
}

// DueBody is a day by whose end a step must finish.
type DueBody struct {
	Title string        `json:"title" maxLength:"200"`
	Step  scheduler.ID  `json:"step" maxLength:"200"`
	On    worktime.Date `json:"on"`
}

// DuePath names one due day in an address.
type DuePath struct {
	Due scheduler.ID `path:"due" maxLength:"100" doc:"The due day's name."`
}

func (s *Server) dueRoutes() {
	register(s, get("list-dues", "/jobs/{job}/dues", "Due days and what the plan makes of them"),
		func(ctx context.Context, in *PlanQuery) (*Answer[DuesBody], error) {
			return answerPlan(ctx, s, in, func(sheet *office.Sheet, standing Standing) (DuesBody, error) {
				return DuesBody{Standing: standing, Dues: list(sheet.Plan.Dues)}, nil
			})
		})
	register(s, route{id: "set-due", method: http.MethodPut, path: "/jobs/{job}/dues/{due}", summary: "Set a day by whose end a step must finish"},
		func(ctx context.Context, in *struct {
			Change
			DuePath
			Body DueBody
		},
		) (*Changed, error) {
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error {
				return j.SetDue(scheduler.Due{ID: in.Due, Title: in.Body.Title, Step: in.Body.Step, On: in.Body.On})
			})
		})
	register(s, route{id: "drop-due", method: http.MethodDelete, path: "/jobs/{job}/dues/{due}", summary: "Take a due day away"},
		func(ctx context.Context, in *struct {
			Change
			DuePath
		},
		) (*Changed, error) {
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.DropDue(in.Due) })
		})
}
