package api

import (
	"context"

	"gaugerod/api/office"
	"gaugerod/scheduler"
)

// OrdersBody is long-lead items with the days they have to be ordered by.
type OrdersBody struct {
	Standing
	Orders []scheduler.PlannedOrder `json:"orders" nullable:"false"`
}

// OrderBody is one long-lead item.
type OrderBody struct {
	Standing
	Order scheduler.PlannedOrder `json:"order"`
}

func (s *Server) orderRoutes() {
	register(s, get("list-orders", "/jobs/{job}/orders", "Long-lead items with the days to order by"),
		func(ctx context.Context, in *PlanQuery) (*Answer[OrdersBody], error) {
			return answerPlan(ctx, s, in, func(sheet *office.Sheet, standing Standing) (OrdersBody, error) {
				return OrdersBody{Standing: standing, Orders: list(sheet.Plan.Orders)}, nil
			})
		})
	register(s, get("get-order", "/jobs/{job}/orders/{order}", "One long-lead item"),
		func(ctx context.Context, in *struct {
			PlanQuery
			Order scheduler.ID `path:"order" maxLength:"100"`
		},
		) (*Answer[OrderBody], error) {
			return answerPlan(ctx, s, &in.PlanQuery, func(sheet *office.Sheet, standing Standing) (OrderBody, error) {
				for _, o := range sheet.Plan.Orders {
					if o.ID == in.Order {
						return OrderBody{Standing: standing, Order: o}, nil
					}
				}
				return OrderBody{}, notFound("order", in.Order)
			})
		})
}
