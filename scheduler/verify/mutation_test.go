package verify_test

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

// wall reads the hand-checked job and its plan, new for each test.
func wall(t *testing.T) (*scheduler.Job, *scheduler.Plan) {
	t.Helper()
	data, err := os.ReadFile("testdata/wall.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read("wall.job.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	if data, err = os.ReadFile("testdata/wall.plan.json"); err != nil {
		t.Fatal(err)
	}
	var plan scheduler.Plan
	if err := json.Unmarshal(data, &plan); err != nil {
		t.Fatal(err)
	}
	return job, &plan
}

// at is a moment in March 2026.
func at(day, hour int) time.Time { return time.Date(2026, time.March, day, hour, 0, 0, 0, time.UTC) }

func when(day int) *worktime.When {
	return &worktime.When{Day: worktime.NewDate(2026, time.March, day)}
}

func onDay(day int) *worktime.Date {
	d := worktime.NewDate(2026, time.March, day)
	return &d
}

func addFact(job *scheduler.Job, f scheduler.Fact) {
	for k := range job.Facts {
		if job.Facts[k].Step == f.Step {
			job.Facts[k] = f
			return
		}
	}
	job.Facts = append(job.Facts, f)
}

func task(job *scheduler.Job, id scheduler.ID) *scheduler.Task {
	for k := range job.Tasks {
		if job.Tasks[k].ID == id {
			return &job.Tasks[k]
		}
	}
	panic(id)
}

// waitBetween is the job's own wait between two steps.
func waitBetween(job *scheduler.Job, from, to scheduler.ID) *scheduler.Wait {
	for k := range job.Waits {
		if job.Waits[k].From.Step == from && job.Waits[k].To.Step == to {
			return &job.Waits[k]
		}
	}
	panic(from + " " + to)
}

// plannedWait is a wait of the plan, the first between two steps.
func plannedWait(p *scheduler.Plan, from, to scheduler.ID) *scheduler.PlannedWait {
	for k := range p.Waits {
		if p.Waits[k].FromID == from && p.Waits[k].ToID == to {
			return &p.Waits[k]
		}
	}
	panic(from + " " + to)
}

// move puts a step elsewhere in the plan.
func move(p *scheduler.Plan, id scheduler.ID, start, finish time.Time) {
	s := p.FindStep(id)
	s.Start, s.Finish = start, finish
}

// mutation breaks one thing in the job or in the plan, of which the checker must
// then report the rule.
type mutation struct {
	name  string
	rule  verify.Rule
	wreck func(job *scheduler.Job, p *scheduler.Plan)
}

func TestTheHandCheckedPlanHolds(t *testing.T) {
	job, plan := wall(t)
	for _, v := range verify.Plan(job, plan) {
		t.Error(v)
	}
}

func TestEveryMutationIsFound(t *testing.T) {
	for _, m := range mutations {
		t.Run(string(m.rule)+": "+m.name, func(t *testing.T) {
			job, plan := wall(t)
			m.wreck(job, plan)
			found := verify.Plan(job, plan)
			for _, v := range found {
				if v.Rule == m.rule {
					if v.What == "" || !strings.Contains(v.String(), string(m.rule)) {
						t.Errorf("cannot be read: %q", v)
					}
					return
				}
			}
			t.Errorf("not found; found instead: %v", found)
		})
	}
}

// TestEveryRuleHasAMutation reads the package's own source for its rules, so that a
// rule without a test fails.
func TestEveryRuleHasAMutation(t *testing.T) {
	tested := map[string]bool{}
	for _, m := range mutations {
		tested[string(m.rule)] = true
	}
	files := token.NewFileSet()
	rules := 0
	names, err := fs.Glob(os.DirFS("."), "*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(files, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, rule := range rulesOf(f) {
			rules++
			if !tested[rule] {
				t.Errorf("%s: no mutation breaks rule %q", name, rule)
			}
		}
	}
	if rules < 40 {
		t.Errorf("only %d rules found in the source", rules)
	}
}

// rulesOf is the values of a file's constants of type Rule.
func rulesOf(f *ast.File) []string {
	var out []string
	ast.Inspect(f, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		if kind, ok := spec.Type.(*ast.Ident); !ok || kind.Name != "Rule" {
			return true
		}
		for _, v := range spec.Values {
			if lit, ok := v.(*ast.BasicLit); ok {
				out = append(out, strings.Trim(lit.Value, `"`))
			}
		}
		return true
	})
	return out
}
