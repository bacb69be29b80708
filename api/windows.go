package api

import (
	"context"

	"gaugerod/api/office"
	"gaugerod/scheduler"
)

// WindowsBody is windows of access.
type WindowsBody struct {
	Standing
	kept
	Windows []scheduler.Window `json:"windows" nullable:"false"`
}

type windowsInput struct {
	PlanQuery
	Trade scheduler.ID `query:"trade" doc:"Only windows of this trade."`
	Place scheduler.ID `query:"place" doc:"Only windows at this place, not those below it."`
}

func (s *Server) windowRoutes() {
	register(s, get("list-windows", "/jobs/{job}/windows", "Windows of access: when a place is a trade's, and when it must be out"), s.listWindows)
	register(s, get("list-windows-of-trade", "/jobs/{job}/trades/{trade}/windows", "Windows of access of one trade"),
		func(ctx context.Context, in *struct {
			PlanQuery
			TradePath
		},
		) (*Answer[WindowsBody], error) {
			return answerPlan(ctx, s, &in.PlanQuery, func(sheet *office.Sheet, standing Standing) (WindowsBody, error) {
				if _, err := findTrade(sheet.Job, in.Trade); err != nil {
					return WindowsBody{}, err
				}
				return WindowsBody{Standing: standing, Windows: windowsOf(sheet.Plan, in.Trade, "")}, nil
			})
		})
	s.calendarRoutes()
}

func (s *Server) listWindows(ctx context.Context, in *windowsInput) (*Answer[WindowsBody], error) {
	return answerPlan(ctx, s, &in.PlanQuery, func(sheet *office.Sheet, standing Standing) (WindowsBody, error) {
		b := WindowsBody{Standing: standing, Windows: windowsOf(sheet.Plan, in.Trade, in.Place)}
		if in.Trade == "" && in.Place == "" {
			b.kept = keptBeside(sheet)
		}
		return b, nil
	})
}

// windowsOf are the windows of a trade and at a place, either left out for all.
func windowsOf(p *scheduler.Plan, trade, place scheduler.ID) []scheduler.Window {
	if trade == "" && place == "" {
		return list(p.Windows)
	}
	out := make([]scheduler.Window, 0)
	for _, w := range p.Windows {
		if (trade == "" || w.Trade == trade) && (place == "" || w.Place == place) {
			out = append(out, w)
		}
	}
	return out
}
