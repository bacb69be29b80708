package web

import (
	"context"

	"github.com/rs/zerolog"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// The memory keeps no plans and has no queue.

func (m *memory) Standing(ctx context.Context, id scheduler.ID, _ worktime.Date) (int64, int, error) {
	revision, err := m.Revision(ctx, id)
	return revision, 0, err
}

func (m *memory) Claim(context.Context, db.PlanOf) (db.Claim, error) {
	return db.Claim{Mine: true, Release: func() {}}, nil
}

func (m *memory) SavePlan(_ context.Context, of db.PlanOf, plan db.PackedPlan, _ bool) (db.PlanHead, bool, error) {
	return db.PlanHead{AsOf: of.AsOf, Take: 1, Finish: plan.Finish, Proven: plan.Proven}, true, nil
}

func (m *memory) BetterPlan(context.Context, db.PlanOf, db.PackedPlan, int) (db.PlanHead, bool, error) {
	return db.PlanHead{}, false, nil
}

func (m *memory) LoadPlan(context.Context, db.PlanOf) (*scheduler.Plan, db.PlanHead, error) {
	return nil, db.PlanHead{}, errNoPlan
}

func (m *memory) PlanBefore(context.Context, db.PlanOf, int64) (*scheduler.Plan, error) {
	return nil, errNoPlan
}

func (m *memory) PlanHeads(context.Context, scheduler.ID, int64) ([]db.PlanHead, error) {
	return nil, nil
}

func (m *memory) Work(ctx context.Context, _ db.Heavy, _ zerolog.Logger) error {
	<-ctx.Done()
	return ctx.Err()
}

func (m *memory) Searches(context.Context, scheduler.ID, int) ([]db.Search, error) { return nil, nil }

func (m *memory) AskForComparison(context.Context, db.ComparisonOf) (db.Comparison, error) {
	return db.Comparison{}, scheduler.ErrNotFound
}

func (m *memory) Comparison(context.Context, db.ComparisonOf) (db.Comparison, error) {
	return db.Comparison{}, scheduler.ErrNotFound
}

func (m *memory) Listen(ctx context.Context, _ func(db.Word)) error {
	<-ctx.Done()
	return ctx.Err()
}
