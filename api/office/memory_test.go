package office_test

import (
	"context"
	"fmt"
	"sync"
	"time"

	"github.com/google/uuid"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// memory is a store in memory that can be made to fail.
type memory struct {
	mu    sync.Mutex
	jobs  map[scheduler.ID]scheduler.Job
	heads map[scheduler.ID]db.JobHead
	plans map[string]*scheduler.Plan
	sent  map[string]*db.IssuedPlan
	shown map[scheduler.ID][]db.ShownWindow // by trade

	failSave, failLoad error
	heard              chan func(scheduler.ID, int64) // who listens
}

func newMemory(jobs ...scheduler.Job) *memory {
	m := &memory{
		jobs: map[scheduler.ID]scheduler.Job{}, heads: map[scheduler.ID]db.JobHead{}, plans: map[string]*scheduler.Plan{}, sent: map[string]*db.IssuedPlan{},
		heard: make(chan func(scheduler.ID, int64), 1),
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

func (m *memory) Undo(context.Context, scheduler.ID, int64, bool, db.Edit) (int64, error) {
	return 0, db.ErrNotKept
}

func (m *memory) Revisions(context.Context, scheduler.ID, int64, int) ([]db.Revision, error) {
	return nil, nil
}

func (m *memory) JobAt(context.Context, scheduler.ID, int64) (*scheduler.Job, error) {
	return nil, db.ErrNotKept
}

func planKey(id scheduler.ID, revision int64, asOf worktime.Date) string {
	return fmt.Sprint(id, " ", revision, " ", asOf)
}

func (m *memory) SavePlan(_ context.Context, id scheduler.ID, revision int64, asOf worktime.Date, plan *scheduler.Plan) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.failSave == nil {
		m.plans[planKey(id, revision, asOf)] = plan
	}
	return m.failSave
}

func (m *memory) LoadPlan(_ context.Context, id scheduler.ID, revision int64, asOf worktime.Date) (*scheduler.Plan, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.failLoad != nil {
		return nil, m.failLoad
	}
	if p := m.plans[planKey(id, revision, asOf)]; p != nil {
		return p, nil
	}
	return nil, scheduler.ErrNotFound
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

func (m *memory) Listen(ctx context.Context, heard func(scheduler.ID, int64)) error {
	m.heard <- heard
	<-ctx.Done()
	return ctx.Err()
}
