package db

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type issueRow struct {
	ordered
	Letter string        `json:"letter" db:"key"`
	On     worktime.Date `json:"on_day"`
	AsOf   worktime.Date `json:"as_of_day"`
	By     scheduler.ID  `json:"by"`
	Note   string        `json:"note"`
}

var issues = content[issueRow]{
	name: "issue", kind: "issue",
	split: func(j *scheduler.Job) (rows []issueRow) {
		for _, i := range j.Issues {
			rows = append(rows, issueRow{Letter: i.Letter, On: i.On, AsOf: i.AsOf, By: i.By, Note: i.Note})
		}
		return rows
	},
	join: func(j *joiner, rows []issueRow) {
		for _, r := range rows {
			j.job.Issues = append(j.job.Issues, scheduler.Issue{Letter: r.Letter, On: r.On, AsOf: r.AsOf, By: r.By, Note: r.Note})
		}
	},
}

// keepsIssues refuses differences that would take away or alter what has been sent
// out. Issues that come are new ones.
func keepsIssues(differences []difference) error {
	for k := range tables {
		if writing[k].table != issues.name {
			continue
		}
		for _, gone := range [][]row{differences[k].delete, differences[k].update} {
			if len(gone) > 0 {
				return scheduler.IssueStands(gone[0].key)
			}
		}
	}
	return nil
}

// IssuedPlan is a plan as it was sent out.
type IssuedPlan struct {
	Letter   string
	Revision int64     // the revision that the issue made
	MadeAt   time.Time // when it was sent out
	By       string    // in whose name, as the history has it
	Plan     *scheduler.Plan
}

// Issue sends a plan of the job out: the issue, its promises and the plan itself are
// kept in one transaction. The plan must be one of the revision that the edit is made
// from. It returns the letter and the revision, for a key seen before those of then.
// Errors are those of Change.
func (s *Store) Issue(ctx context.Context, id scheduler.ID, e Edit, plan *scheduler.Plan, i scheduler.Issue) (letter string, revision int64, err error) {
	text, err := json.Marshal(plan)
	if err != nil {
		return "", 0, fmt.Errorf("write the issued plan of job %q: %w", id, err)
	}
	keep := func(ctx context.Context, tx pgx.Tx, revision int64) error {
		_, err := tx.Exec(ctx, `
			INSERT INTO issued_plan (job, letter, revision, as_of_day, made_at, who, plan)
			VALUES ($1, $2, $3, $4::text::date, $5, $6, $7::text::jsonb)`,
			string(id), letter, revision, worktime.DateOf(plan.AsOf).String(), s.now().UTC(), e.By.Name, string(text))
		return err
	}
	revision, err = s.edit(ctx, id, e, func(_ context.Context, _ pgx.Tx, before *state) (draft, error) {
		if letter, err = before.job.Issue(plan, i); err != nil {
			return draft{}, err
		}
		before.job.Canonical()
		return draft{job: before.job, also: keep}, nil
	})
	if err != nil {
		return "", 0, err
	}
	if letter != "" {
		return letter, revision, nil
	}
	// The request was answered before and has changed nothing now.
	err = s.pool.QueryRow(ctx, `SELECT letter FROM issued_plan WHERE job = $1 AND revision = $2`, string(id), revision).Scan(&letter)
	if err != nil {
		return "", 0, fmt.Errorf("read which issue revision %d of job %q was: %w", revision, id, explain(err))
	}
	return letter, revision, nil
}

// IssuedPlan is the plan that was sent out under a letter. It is scheduler.ErrNotFound
// where there is no such issue, and where the issue came with a job file from
// elsewhere, which tells of the issue and does not hold its plan.
func (s *Store) IssuedPlan(ctx context.Context, id scheduler.ID, letter string) (*IssuedPlan, error) {
	out := &IssuedPlan{Letter: letter, Plan: &scheduler.Plan{}}
	var text []byte
	err := s.pool.QueryRow(ctx, `
		SELECT revision, made_at, who, plan::text FROM issued_plan WHERE job = $1 AND letter = $2`,
		string(id), letter).Scan(&out.Revision, &out.MadeAt, &out.By, &text)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, fmt.Errorf("plan of issue %q of job %q: %w", letter, id, scheduler.ErrNotFound)
	}
	if err == nil {
		err = json.Unmarshal(text, out.Plan)
	}
	if err != nil {
		return nil, fmt.Errorf("read the plan of issue %q of job %q: %w", letter, id, explain(err))
	}
	return out, nil
}
