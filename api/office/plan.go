package office

import (
	"context"

	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

func defaultPlanner(ctx context.Context, job *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
	return planner.Plan(ctx, job, planner.Options{AsOf: &asOf})
}
