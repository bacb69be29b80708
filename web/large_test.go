package web

import (
	"context"
	"sync"
	"testing"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// A job as large as the pictures have to bear.
const (
	largeSteps  = 20_000
	largePlaces = 400
)

// largePlan is its plan, made once for all tests.
var largePlan = sync.OnceValues(func() (*scheduler.Plan, error) {
	asOf := worktime.DateOf(readAt)
	return planner.Plan(context.Background(), randomjob.Large(largeSteps, largePlaces), planner.Options{AsOf: &asOf})
})

// largeSite is the pages of it.
func largeSite(t testing.TB) *site {
	t.Helper()
	job := randomjob.Large(largeSteps, largePlaces)
	m := &memory{read: func() *scheduler.Job { return job }, revision: 1, head: db.JobHead{ID: job.ID, Title: job.Title, Changed: readAt}}
	s := siteWith(t, m, job.ID, func(context.Context, *scheduler.Job, worktime.Date) (*scheduler.Plan, error) { return largePlan() })
	s.memory = m
	return s
}
