package selfcheck_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/selfcheck"
)

func replan(ctx context.Context, job *scheduler.Job) (*scheduler.Plan, error) {
	return planner.Plan(ctx, job, planner.Options{})
}

const engineName = "the engine's own test"

func run(t *testing.T, job *scheduler.Job, replan selfcheck.Replan) map[string]selfcheck.Check {
	t.Helper()
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := planner.Plan(t.Context(), job, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	checks, err := selfcheck.Run(t.Context(), net, plan, replan)
	if err != nil {
		t.Fatal(err)
	}
	byName := map[string]selfcheck.Check{}
	for _, c := range checks {
		if c.Name == "" || c.Formula == "" || c.Figure == "" || c.Limit == "" || c.Source == "" || c.Result == "" {
			t.Errorf("something is missing: %+v", c)
		}
		if _, twice := byName[c.Name]; twice {
			t.Errorf("%q comes twice", c.Name)
		}
		byName[c.Name] = c
	}
	return byName
}

func TestTheEnginePassesItsOwnTest(t *testing.T) {
	passed := 0
	for seed := range uint64(150) {
		job := randomjob.New(seed, randomjob.Size{Steps: 10 + int(seed)%40})
		c := run(t, job, replan)[engineName]
		switch c.Result {
		case selfcheck.Fail:
			t.Errorf("seed %d: moved by %s, want %s: %v", seed, c.Figure, c.Limit, c.Items)
		case selfcheck.Pass:
			passed++
		}
	}
	if passed < 60 {
		t.Errorf("only %d of 150 random jobs had a step to lengthen", passed)
	}
}

// TestABrokenEngineFails: an engine that loses a single minute, or does not move at
// all, is found out.
func TestABrokenEngineFails(t *testing.T) {
	job := hut()
	for name, spoil := range map[string]func(*scheduler.Plan, time.Time){
		"a minute short": func(p *scheduler.Plan, _ time.Time) { p.EarliestFinish = p.EarliestFinish.Add(-time.Minute) },
		"not at all":     func(p *scheduler.Plan, first time.Time) { p.EarliestFinish = first },
	} {
		var first time.Time
		c := run(t, job, func(ctx context.Context, j *scheduler.Job) (*scheduler.Plan, error) {
			p, err := replan(ctx, j)
			if first.IsZero() {
				first = p.EarliestFinish
			} else {
				spoil(p, first)
			}
			return p, err
		})[engineName]
		if c.Result != selfcheck.Fail {
			t.Errorf("%s: %+v", name, c)
		}
	}
	if c := run(t, job, replan)[engineName]; c.Result != selfcheck.Pass || c.Figure != "600.0 working days" || c.Limit != "just 600.0 working days" {
		t.Errorf("sound engine: %+v", c)
	}
}

func TestEngineErrorsAndLeavingItOut(t *testing.T) {
	job := hut()
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := replan(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	failed := errors.New("no plan")
	for at := range 2 { // the first or the second planning fails
		n := 0
		_, err = selfcheck.Run(t.Context(), net, plan, func(ctx context.Context, j *scheduler.Job) (*scheduler.Plan, error) {
			if n++; n > at {
				return nil, failed
			}
			return replan(ctx, j)
		})
		if !errors.Is(err, failed) {
			t.Errorf("planning %d fails: got %v", at, err)
		}
	}
	checks, err := selfcheck.Run(t.Context(), net, plan, nil)
	if err != nil || len(checks) == 0 || checks[len(checks)-1].Name == engineName {
		t.Errorf("without replan: %v, %v", checks, err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := selfcheck.Run(ctx, net, plan, replan); !errors.Is(err, context.Canceled) {
		t.Errorf("done context: %v", err)
	}
}

// TestNothingToLengthen: a job of typicals alone has no step of its own.
func TestNothingToLengthen(t *testing.T) {
	job := hut()
	job.Typicals = []scheduler.Typical{{ID: "bay", Places: ids{"hut"}, Tasks: job.Tasks}}
	job.Tasks, job.Waits, job.Orders = nil, nil, nil
	if c := run(t, job, replan)[engineName]; c.Result != selfcheck.Info {
		t.Errorf("got %+v", c)
	}
}
