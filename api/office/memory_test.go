package office_test

import (
	"context"
	"sync"
	"time"

	"github.com/google/uuid"
	"github.com/rs/zerolog"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// memory is a store in memory that can be made to fail.
type memory struct {
	mu    sync.Mutex
	jobs  map[scheduler.ID]scheduler.Job
	heads map[scheduler.ID]db.JobHead
	plans map[db.PlanOf]kept
	sent  map[string]*db.IssuedPlan
	shown map[scheduler.ID][]db.ShownWindow // by trade

	trialStore // nil: the tests of trials that keep something are those of db

	failSave, failLoad, failClaim error
	heard                         chan func(db.Word) // who listens
}

func newMemory(jobs ...scheduler.Job) *memory {
	m := &memory{
		jobs: map[scheduler.ID]scheduler.Job{}, heads: map[scheduler.ID]db.JobHead{}, plans: map[db.PlanOf]kept{}, sent: map[string]*db.IssuedPlan{},
		heard: make(chan func(db.Word), 1),
	}
	for _, j := range jobs {
		m.put(j)
	}
	return m
}

func (m *memory) put(j scheduler.Job) int64 {
	h := m.heads[j.ID]
	m.jobs[j.ID], m.heads[j.ID] = j, db.JobHead{ID: j.ID, Title: j.Title, Revision: h.Revision + 1, Changed: time.Unix(0, 0)}
	return h.Revision + 1
}

func (m *memory) Jobs(context.Context) ([]db.JobHead, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var heads []db.JobHead
	for _, h := range m.heads {
		heads = append(heads, h)
	}
	return heads, nil
}

func (m *memory) JobsOf(ctx context.Context, _ uuid.UUID) ([]db.JobHead, error) { return m.Jobs(ctx) }

func (m *memory) Job(_ context.Context, id scheduler.ID) (*scheduler.Job, int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	j, ok := m.jobs[id]
	if !ok {
		return nil, 0, scheduler.ErrNotFound
	}
	return &j, m.heads[id].Revision, nil
}

func (m *memory) Put(_ context.Context, job *scheduler.Job, _ db.Edit) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.put(*job), nil
}

func (m *memory) Change(_ context.Context, id scheduler.ID, e db.Edit, change func(*scheduler.Job) error) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	j, ok := m.jobs[id]
	switch {
	case !ok:
		return 0, scheduler.ErrNotFound
	case e.At > 0 && e.At != m.heads[id].Revision:
		return 0, &db.StaleError{At: e.At, Newest: m.heads[id].Revision}
	}
	if err := change(&j); err != nil {
		return 0, err
	}
	return m.put(j), nil
}

func (m *memory) History(context.Context, scheduler.ID, int64, int) ([]db.HistoryLine, error) {
	return []db.HistoryLine{{Revision: 1, Who: "owner"}}, nil
}

func (m *memory) Rename(ctx context.Context, id scheduler.ID, e db.Edit, thing scheduler.Named, to scheduler.ID) (int64, error) {
	return m.Change(ctx, id, e, func(j *scheduler.Job) error {
		_, err := j.Rename(thing, to)
		return err
	})
}

func (m *memory) Undo(context.Context, scheduler.ID, int64, bool, db.Edit) (int64, error) {
	return 0, db.ErrNotKept
}

func (m *memory) Revisions(context.Context, scheduler.ID, int64, int) ([]db.Revision, error) {
	return nil, nil
}

func (m *memory) JobAt(context.Context, scheduler.ID, int64) (*scheduler.Job, error) {
	return nil, db.ErrNotKept
}

// kept is a plan with its take.
type kept struct {
	plan  *scheduler.Plan
	take  int
	usual bool
}

func (k kept) head(of db.PlanOf) db.PlanHead {
	return db.PlanHead{AsOf: of.AsOf, Take: k.take, Finish: k.plan.Finish, Proven: k.plan.Proven}
}

func (m *memory) Standing(_ context.Context, id scheduler.ID, asOf worktime.Date) (int64, int, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	h, ok := m.heads[id]
	if !ok {
		return 0, 0, scheduler.ErrNotFound
	}
	return h.Revision, m.plans[db.PlanOf{Job: id, Revision: h.Revision, AsOf: asOf}].take, nil
}

func (m *memory) SavePlan(_ context.Context, of db.PlanOf, plan db.PackedPlan, usual bool) (db.PlanHead, bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	was := m.plans[of]
	if m.failSave != nil {
		return db.PlanHead{}, false, m.failSave
	}
	if was.take > 0 && was.plan.Engine == plan.Engine {
		return was.head(of), false, nil
	}
	is := kept{plan.Plan, was.take + 1, usual}
	m.plans[of] = is
	return is.head(of), true, nil
}

func (m *memory) BetterPlan(_ context.Context, of db.PlanOf, plan db.PackedPlan, take int) (db.PlanHead, bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	was := m.plans[of]
	if was.take != take {
		return db.PlanHead{}, false, nil
	}
	is := kept{plan.Plan, take + 1, was.usual}
	m.plans[of] = is
	return is.head(of), true, nil
}

func (m *memory) LoadPlan(_ context.Context, of db.PlanOf) (*scheduler.Plan, db.PlanHead, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.failLoad != nil {
		return nil, db.PlanHead{}, m.failLoad
	}
	if p := m.plans[of]; p.take > 0 {
		return p.plan, p.head(of), nil
	}
	return nil, db.PlanHead{}, scheduler.ErrNotFound
}

func (m *memory) PlanBefore(_ context.Context, of db.PlanOf, known int64) (*scheduler.Plan, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var before *scheduler.Plan
	for is, p := range m.plans {
		if is.Job == of.Job && p.usual && is.Revision < of.Revision && is.Revision > known {
			before, known = p.plan, is.Revision
		}
	}
	if before == nil {
		return nil, scheduler.ErrNotFound
	}
	return before, nil
}

func (m *memory) PlanHeads(_ context.Context, id scheduler.ID, revision int64) ([]db.PlanHead, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var heads []db.PlanHead
	for is, p := range m.plans {
		if is.Job == id && is.Revision == revision {
			heads = append(heads, p.head(is))
		}
	}
	return heads, nil
}

func (m *memory) Claim(context.Context, db.PlanOf) (db.Claim, error) {
	return db.Claim{Mine: true, Kept: true, Release: func() {}}, m.failClaim
}

func (m *memory) Work(ctx context.Context, _ db.Heavy, _ zerolog.Logger) error {
	<-ctx.Done()
	return ctx.Err()
}

func (m *memory) Searches(context.Context, scheduler.ID, int) ([]db.Search, error) { return nil, nil }

func (m *memory) AskForComparison(context.Context, db.ComparisonOf) (db.Comparison, error) {
	return db.Comparison{}, nil
}

func (m *memory) Comparison(context.Context, db.ComparisonOf) (db.Comparison, error) {
	return db.Comparison{}, scheduler.ErrNotFound
}

func (m *memory) Issue(ctx context.Context, id scheduler.ID, e db.Edit, plan *scheduler.Plan, i scheduler.Issue) (letter string, revision int64, err error) {
	revision, err = m.Change(ctx, id, e, func(j *scheduler.Job) (err error) {
		letter, err = j.Issue(plan, i)
		return err
	})
	if err == nil {
		m.mu.Lock()
		defer m.mu.Unlock()
		m.sent[string(id)+" "+letter] = &db.IssuedPlan{Letter: letter, Revision: revision, By: e.By.Name, Plan: plan}
	}
	return letter, revision, err
}

func (m *memory) IssuedPlan(_ context.Context, id scheduler.ID, letter string) (*db.IssuedPlan, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if p := m.sent[string(id)+" "+letter]; p != nil {
		return p, nil
	}
	return nil, scheduler.ErrNotFound
}

func (m *memory) Shown(_ context.Context, _, trade scheduler.ID) ([]db.ShownWindow, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.shown[trade], nil
}

func (m *memory) Show(_ context.Context, _, trade scheduler.ID, _ int64, show func([]db.ShownWindow, time.Time) []db.ShownWindow) ([]db.ShownWindow, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.shown == nil {
		m.shown = map[scheduler.ID][]db.ShownWindow{}
	}
	m.shown[trade] = show(m.shown[trade], time.Unix(0, 0).UTC())
	return m.shown[trade], nil
}

func (m *memory) Listen(ctx context.Context, heard func(db.Word)) error {
	m.heard <- heard
	<-ctx.Done()
	return ctx.Err()
}

// trialStore is office.Trials under a name that is not that of one of its methods.
type trialStore interface{ office.Trials }
