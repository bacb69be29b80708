package web

import (
	"context"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// trials is the trials of a memory, by the rules of the real store.
type trials struct {
	tried []db.Trial
}

func (m *memory) MakeTrial(_ context.Context, _ scheduler.ID, title string, ops []trial.Op, e db.Edit) (db.Trial, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.tried = append(m.tried, db.Trial{Number: len(m.tried) + 1, Title: title, Ops: ops, Version: 1, MadeAt: readAt, MadeBy: e.By.Name, Changed: readAt})
	return m.tried[len(m.tried)-1], nil
}

func (m *memory) Trials(context.Context, scheduler.ID) ([]db.Trial, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var all []db.Trial
	for k := len(m.tried) - 1; k >= 0; k-- {
		if m.tried[k].Thrown == nil {
			all = append(all, m.tried[k])
		}
	}
	return all, nil
}

func (m *memory) Trial(_ context.Context, _ scheduler.ID, number int) (db.Trial, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	t, err := m.trial(number)
	if err != nil {
		return db.Trial{}, err
	}
	return *t, nil
}

func (m *memory) trial(number int) (*db.Trial, error) {
	if number < 1 || number > len(m.tried) || m.tried[number-1].Thrown != nil {
		return nil, scheduler.ErrNotFound
	}
	return &m.tried[number-1], nil
}

func (m *memory) openTrial(number, seen int) (*db.Trial, error) {
	t, err := m.trial(number)
	switch {
	case err != nil:
		return nil, err
	case t.Adopted != nil:
		return nil, &scheduler.Refusal{Kind: scheduler.ErrAlready, What: "the trial was adopted"}
	case seen != 0 && seen != t.Version:
		return nil, db.ErrTrialChanged
	}
	return t, nil
}

func (m *memory) ChangeTrial(_ context.Context, _ scheduler.ID, number, seen int, _ db.Edit, change func(*db.Trial) error) (db.Trial, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	t, err := m.openTrial(number, seen)
	if err != nil {
		return db.Trial{}, err
	}
	next := *t
	if err := change(&next); err != nil {
		return db.Trial{}, err
	}
	next.Version++
	*t = next
	return next, nil
}

func (m *memory) ThrowTrialAway(_ context.Context, _ scheduler.ID, number, seen int, _ db.Edit) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	t, err := m.openTrial(number, seen)
	if err == nil {
		at := readAt
		t.Thrown = &at
	}
	return err
}

func (m *memory) AdoptTrial(ctx context.Context, id scheduler.ID, number, seen int, e db.Edit) (int64, error) {
	m.mu.Lock()
	t, err := m.openTrial(number, seen)
	m.mu.Unlock()
	if err != nil {
		return 0, err
	}
	revision, err := m.Change(ctx, id, e, func(j *scheduler.Job) error { return trial.Make(j, t.Ops) })
	if err == nil {
		t.Adopted = &revision
	}
	return revision, err
}
