package scheduler

import (
	"fmt"

	"gaugerod/scheduler/worktime"
)

// Issue is a plan that was sent out as the agreed one, as drawings are issued: with
// the next revision letter. It never changes and is never taken back; what was
// agreed otherwise since is issued anew.
type Issue struct {
	Letter string        // A, B … Z, AA, AB …
	On     worktime.Date // the day it was sent out
	AsOf   worktime.Date // the day its plan was computed from
	By     ID            // the person who sent it out
	Note   string
	Pos    Pos
}

// Letter is the revision letter of the nth issue, counted from 0: A to Z, then AA.
func Letter(n int) string {
	letters := ""
	for n++; n > 0; n = (n - 1) / 26 {
		letters = string(rune('A'+(n-1)%26)) + letters
	}
	return letters
}

// FindIssue is the issue of a letter, nil where there is none.
func (j *Job) FindIssue(letter string) *Issue {
	for k := range j.Issues {
		if j.Issues[k].Letter == letter {
			return &j.Issues[k]
		}
	}
	return nil
}

// LastIssue is the newest issue, nil where no plan has been sent out yet.
func (j *Job) LastIssue() *Issue {
	if len(j.Issues) == 0 {
		return nil
	}
	return &j.Issues[len(j.Issues)-1]
}

// Issue sends a plan of the job out as the agreed one and returns its letter, the
// next one. What i says of letter and as of does not count.
//
// The windows of the plan take the place of all that was promised before. Where a
// window had been confirmed and its days are the same, it stays so; where they
// differ, the trade has to be asked anew.
//
// Errors are Refusals; then nothing is changed.
func (j *Job) Issue(plan *Plan, i Issue) (letter string, err error) {
	if err := j.person(i.By); err != nil {
		return "", err
	}
	if plan.Job != j.ID {
		return "", refuse(ErrImpossible, "", "issue a plan of this job", "the plan is one of the job %q", plan.Job)
	}
	if last := j.LastIssue(); last != nil && i.On < last.On {
		return "", refuse(ErrImpossible, "on", "give the day on which it is sent out",
			"issue %s was sent out on %s, after %s", last.Letter, last.On, i.On)
	}
	i.Letter, i.AsOf, i.Pos = Letter(len(j.Issues)), worktime.DateOf(plan.AsOf), Pos{}
	confirmed := make(map[ID][]*Promise) // by step
	for k := range j.Promises {
		if p := &j.Promises[k]; p.Confirmed != nil {
			for _, step := range p.Steps {
				confirmed[step] = append(confirmed[step], p)
			}
		}
	}
	promises := make([]Promise, 0, len(plan.Windows))
	for k := range plan.Windows {
		p := promiseOf(&plan.Windows[k])
		p.Letter = i.Letter
		for _, step := range p.Steps {
			for _, old := range confirmed[step] {
				if old.Trade == p.Trade && old.Place == p.Place && old.From == p.From && old.Until == p.Until {
					p.Confirmed, p.By = old.Confirmed, old.By
				}
			}
		}
		promises = append(promises, p)
	}
	j.Issues, j.Promises = append(j.Issues, i), promises
	return i.Letter, nil
}

// IssueStands is the Refusal of whatever would take an issue away or alter it.
func IssueStands(letter string) error {
	return refuse(ErrImpossible, "issues",
		"leave it as it is; a file that is to replace the job has to hold its issues: fetch the job's file and change that, or issue the plan anew",
		"issue %s has been sent out, and what was sent out never changes", letter)
}

// String is "issue B of 2026-05-18".
func (i *Issue) String() string { return fmt.Sprintf("issue %s of %s", i.Letter, i.On) }
