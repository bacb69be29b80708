package api

import (
	"context"
	"net/http"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// AlertsBody is what somebody should know of the plan, the gravest first.
type AlertsBody struct {
	Standing
	kept
	Alerts []scheduler.Alert `json:"alerts" nullable:"false"`
}

// AsideBody puts an alert out of sight, with a reason.
type AsideBody struct {
	Alert  string         `json:"alert" minLength:"1" maxLength:"500" doc:"The alert's key."`
	By     scheduler.ID   `json:"by" maxLength:"100" doc:"The person who says so."`
	On     *worktime.Date `json:"on,omitempty" doc:"Left out: today."`
	Reason string         `json:"reason" maxLength:"2000"`
}

type alertsInput struct {
	PlanQuery
	Severity scheduler.Severity `query:"severity" enum:"grave,act,note" doc:"Only alerts as grave as this."`
	Aside    bool               `query:"aside" doc:"Also those that were set aside."`
}

func (s *Server) alertRoutes() {
	register(s, get("list-alerts", "/jobs/{job}/alerts", "Alerts, each with its sentence and what could be done"),
		func(ctx context.Context, in *alertsInput) (*Answer[AlertsBody], error) {
			return answerPlan(ctx, s, &in.PlanQuery, func(sheet *office.Sheet, standing Standing) (AlertsBody, error) {
				b := AlertsBody{Standing: standing, Alerts: make([]scheduler.Alert, 0, len(sheet.Plan.Alerts))}
				for _, a := range sheet.Plan.Alerts {
					if (in.Severity == "" || a.Severity == in.Severity) && (in.Aside || a.Aside == "") {
						b.Alerts = append(b.Alerts, a)
					}
				}
				if in.Severity == "" && !in.Aside {
					b.kept = keptBeside(sheet)
				}
				return b, nil
			})
		})
	register(s, route{id: "set-aside", method: http.MethodPost, path: "/jobs/{job}/alerts/aside", summary: "Put an alert out of sight, with a reason"}, s.setAside)
	register(s, route{id: "bring-back", method: http.MethodDelete, path: "/jobs/{job}/alerts/aside", summary: "Put an alert in sight again"},
		func(ctx context.Context, in *struct {
			Change
			Alert string `query:"alert" required:"true" minLength:"1" maxLength:"500" doc:"The alert's key."`
		},
		) (*Changed, error) {
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.BringBack(in.Alert) })
		})
}

func (s *Server) setAside(ctx context.Context, in *struct {
	Change
	Body AsideBody
},
) (*Changed, error) {
	return s.commit(ctx, in.Change, func(j *scheduler.Job) error {
		on, err := s.day(j, in.Body.On)
		if err != nil {
			return err
		}
		return j.SetAside(scheduler.Aside{Alert: in.Body.Alert, By: in.Body.By, On: on, Reason: in.Body.Reason})
	})
}
