package office

import (
	"context"

	"gaugerod/scheduler"
	"gaugerod/scheduler/selfcheck"
)

// SelfCheck puts every check to a sheet's plan. The engine's own test plans the
// job twice more, as of the same day; those plans are kept nowhere.
func (o *Office) SelfCheck(ctx context.Context, sheet *Sheet) ([]selfcheck.Check, error) {
	return selfcheck.Run(ctx, sheet.Network, sheet.Plan, func(ctx context.Context, job *scheduler.Job) (*scheduler.Plan, error) {
		return o.safe(job, func() (*scheduler.Plan, error) { return o.planAnew(ctx, job, sheet.AsOf) })
	})
}
