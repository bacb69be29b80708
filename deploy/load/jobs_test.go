package load_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/randomjob"
)

// further is how many random jobs there are beside the demo house.
const further = 100

// fewest and most steps of a random job.
const (
	fewestSteps = 30
	mostSteps   = 250
)

// houses is the files of the demo house and of the further jobs, by name. Job k is
// randomjob.New(k, …) with every feature, of 30 to 250 steps in even paces. Number 72
// is made from 101: of the other the solver takes a minute to name what contradicts
// itself. In 34 statements contradict each other too.
func houses(b *testing.B) map[scheduler.ID][]byte {
	b.Helper()
	id, file := demo(b)
	files := map[scheduler.ID][]byte{id: file}
	for k := range further {
		seed := uint64(k + 1)
		if seed == 72 {
			seed = 101
		}
		job := randomjob.New(seed, randomjob.Size{Steps: fewestSteps + k*(mostSteps-fewestSteps)/(further-1)})
		job.ID = scheduler.ID(fmt.Sprintf("house-%03d", k+1))
		files[job.ID] = written(b, job)
	}
	return files
}

// demo is the demo house and its file.
func demo(b *testing.B) (scheduler.ID, []byte) {
	b.Helper()
	file, err := os.ReadFile("../../testdata/demo.job.yaml")
	if err != nil {
		b.Fatal(err)
	}
	job, err := jobfile.Read("demo.job.yaml", file)
	if err != nil {
		b.Fatal(err)
	}
	return job.ID, file
}

func written(b *testing.B, job *scheduler.Job) []byte {
	b.Helper()
	text, err := jobfile.Write(job)
	if err != nil {
		b.Fatal(err)
	}
	return text
}

// plan is what is read of the answer that holds a plan.
type plan struct {
	Revision int64          `json:"revision"`
	AsOf     string         `json:"as_of"`
	Plan     scheduler.Plan `json:"plan"`
}

func (s *service) plan(job scheduler.ID) *plan {
	s.b.Helper()
	var p plan
	if err := json.Unmarshal(s.ask(http.MethodGet, path(job, "plan"), nil, nil), &p); err != nil {
		s.b.Fatal(err)
	}
	return &p
}

func path(job scheduler.ID, of ...any) string {
	var w strings.Builder
	w.WriteString("/api/jobs/" + string(job))
	for _, part := range of {
		fmt.Fprintf(&w, "/%v", part)
	}
	return w.String()
}

// revisionOf is the revision that an ETag names.
func revisionOf(h http.Header) int64 {
	number, _, _ := strings.Cut(strings.Trim(strings.TrimPrefix(h.Get("ETag"), "W/"), `"`), "-")
	revision, _ := strconv.ParseInt(number, 10, 64)
	return revision
}

// house is what readers and writers know of a job.
type house struct {
	id     scheduler.ID
	steps  []scheduler.ID
	trades []scheduler.ID // those that have steps
	cycle  []change       // comes back to where it began
	next   int
}

// change is one change through the API.
type change struct {
	method, path string
	send         any
}

// look finds out what there is to read and to change in a job. The changes: a task
// takes longer, a trade has a crew more, work is recorded as started; and all of that
// back again.
func (s *service) look(id scheduler.ID, job *scheduler.Job) *house {
	p := s.plan(id)
	h := &house{id: id}
	var longer, back [3]*change
	for _, step := range p.Plan.Steps {
		h.steps = append(h.steps, step.ID)
		for _, t := range step.Trades {
			if !slices.Contains(h.trades, t) {
				h.trades = append(h.trades, t)
			}
		}
		task := taskOf(job, step.ID)
		if task == nil || step.State == scheduler.Complete {
			continue
		}
		if longer[0] == nil && step.State != scheduler.Underway && task.Takes.Amount > 1 {
			more := task.Takes
			more.Amount++
			longer[0] = &change{http.MethodPut, path(id, "steps", step.ID, "takes"), map[string]any{"takes": more}}
			back[0] = &change{http.MethodPut, path(id, "steps", step.ID, "takes"), map[string]any{"takes": task.Takes}}
		}
		if longer[2] == nil && step.State == scheduler.Ready && job.FindFact(step.ID) == nil {
			longer[2] = &change{http.MethodPatch, path(id, "facts", step.ID), map[string]any{"started": p.AsOf}}
			back[2] = &change{http.MethodDelete, path(id, "facts", step.ID), nil}
		}
	}
	for _, t := range job.Trades {
		if longer[1] == nil && slices.Contains(h.trades, t.ID) {
			longer[1] = &change{http.MethodPut, path(id, "trades", t.ID, "crews"), map[string]any{"crews": t.Crews + 1}}
			back[1] = &change{http.MethodPut, path(id, "trades", t.ID, "crews"), map[string]any{"crews": t.Crews}}
		}
	}
	for _, c := range slices.Concat(longer[:], back[:]) {
		if c != nil {
			h.cycle = append(h.cycle, *c)
		}
	}
	if len(h.cycle) == 0 {
		s.b.Fatalf("there is nothing to change in %s", id)
	}
	return h
}

func taskOf(job *scheduler.Job, id scheduler.ID) *scheduler.Task {
	for k := range job.Tasks {
		if job.Tasks[k].ID == id {
			return &job.Tasks[k]
		}
	}
	return nil
}
