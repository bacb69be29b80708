package office

import (
	"context"
	"errors"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// defaultPlanner stands in until the planner is there.
func defaultPlanner(context.Context, *scheduler.Job, worktime.Date) (*scheduler.Plan, error) {
	return nil, errors.New("no planner")
}
