package planner_test

import (
	"os"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
)

// aimed is a plan that reaches so much of each aim.
func aimed(late int64, finish int, visits int64) *scheduler.Plan {
	return &scheduler.Plan{
		Finish: time.Date(2026, 9, finish, 12, 0, 0, 0, time.UTC),
		Bound:  time.Date(2026, 8, 1, 12, 0, 0, 0, time.UTC),
		Aims: []scheduler.Aim{
			{Kind: scheduler.AimDueDays, Reached: late},
			{Kind: scheduler.AimFinish, Reached: int64(finish)},
			{Kind: scheduler.AimVisits, Reached: visits},
			{Kind: scheduler.AimDeliveries},
		},
	}
}

func TestBetter(t *testing.T) {
	promised := func(p *scheduler.Plan, keys ...string) *scheduler.Plan {
		for _, k := range keys {
			p.Alerts = append(p.Alerts, scheduler.Alert{Kind: scheduler.PromiseBroken, Key: k})
		}
		return p
	}
	contradicting := func(p *scheduler.Plan) *scheduler.Plan {
		p.Contradictions = []scheduler.Contradiction{{}}
		return p
	}
	for _, c := range []struct {
		name       string
		was, found *scheduler.Plan
		better     bool
	}{
		{"the same", aimed(0, 10, 5), aimed(0, 10, 5), false},
		{"earlier", aimed(0, 10, 5), aimed(0, 9, 5), true},
		{"later", aimed(0, 10, 5), aimed(0, 11, 5), false},
		{"less late and later", aimed(60, 10, 5), aimed(0, 20, 9), true},
		{"later past due days and earlier", aimed(0, 10, 5), aimed(60, 9, 1), false},
		{"fewer visits", aimed(0, 10, 5), aimed(0, 10, 4), true},
		{"fewer visits and later", aimed(0, 10, 5), aimed(0, 11, 1), false},
		{"earlier, and a promise broken", aimed(0, 10, 5), promised(aimed(0, 9, 5), "promise broken roof"), false},
		{"earlier, and no other promise broken", promised(aimed(0, 10, 5), "roof", "wall"), promised(aimed(0, 9, 5), "roof"), true},
		{"earlier, and a statement set aside", aimed(0, 10, 5), contradicting(aimed(0, 9, 5)), false},
		{"earlier, and as much set aside", contradicting(aimed(0, 10, 5)), contradicting(aimed(0, 9, 5)), true},
	} {
		plan, other := planner.Better(c.was, c.found)
		if other != c.better || other && plan != c.found || !other && plan != c.was {
			t.Errorf("%s: another plan: %v", c.name, other)
		}
	}
}

// TestBetterTakesOverProofs: people stay where they are planned, and the plan says what
// is known of it since.
func TestBetterTakesOverProofs(t *testing.T) {
	was, found := aimed(0, 10, 5), aimed(0, 10, 5)
	was.Steps = []scheduler.PlannedStep{{ID: "as-it-was"}}
	found.Bound, found.BoundReason, found.Proven = found.Finish, "ruled out", true
	found.Aims[1].Least, found.Aims[1].Proven = 10, true
	plan, other := planner.Better(was, found)
	if !other || !plan.Proven || !plan.Bound.Equal(plan.Finish) || plan.BoundReason != "ruled out" || !plan.Aims[1].Proven {
		t.Errorf("another one: %v, %+v", other, plan)
	}
	if len(plan.Steps) != 1 || plan.Steps[0].ID != "as-it-was" {
		t.Errorf("people were moved: %+v", plan.Steps)
	}
	if was.Proven || was.Aims[1].Proven {
		t.Error("the plan before was changed")
	}
	if again, other := planner.Better(plan, found); other {
		t.Errorf("what is known already is told again: %+v", again)
	}
	weaker := aimed(0, 10, 5)
	if _, other := planner.Better(plan, weaker); other {
		t.Error("a weaker bound took the place of a proof")
	}
}

// TestRecallNeedsNoJob: the plan alone leaves what plan and job together leave.
func TestRecallNeedsNoJob(t *testing.T) {
	for _, file := range []string{"../../testdata/demo.job.yaml", "../../testdata/every-feature.job.yaml"} {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		job, err := jobfile.Read(file, data)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := planner.Plan(t.Context(), job, planner.Options{})
		if err != nil {
			t.Fatal(err)
		}
		memory, err := planner.Remember(job, plan)
		if err != nil {
			t.Fatal(err)
		}
		changed := *job
		changed.Tasks = append([]scheduler.Task(nil), job.Tasks...)
		changed.Tasks[0].Takes.Amount++
		want, _, err := planner.Replan(t.Context(), &changed, memory, planner.Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, _, err := planner.Replan(t.Context(), &changed, planner.Recall(plan), planner.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("%s: planned otherwise:\n%s", file, d)
		}
	}
}
