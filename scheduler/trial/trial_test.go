package trial_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/rules"
	"gaugerod/scheduler/trial"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

func read(t *testing.T) *scheduler.Job {
	t.Helper()
	const name = "../../testdata/every-feature.job.yaml"
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read(name, text)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

func date(s string) worktime.Date {
	d, err := worktime.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return d
}

func day(s string) *worktime.Date { d := date(s); return &d }

func span(s string) worktime.Span {
	v, err := worktime.ParseSpan(s)
	if err != nil {
		panic(err)
	}
	return v
}

func TestApplyLeavesTheJobAsItIs(t *testing.T) {
	for seed := range uint64(150) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			size := randomjob.Size{Steps: 10 + int(seed%30)}
			job, twin := randomjob.New(seed, size), randomjob.New(seed, size)
			ops := randomOps(job, rand.New(rand.NewPCG(seed, 7)))
			tried, err := trial.Apply(job, ops)
			if d := cmp.Diff(twin, job); d != "" {
				t.Fatalf("the job was changed (-was +is):\n%s", d)
			}
			if err != nil {
				inWords(t, err, len(ops))
				return
			}
			if faults := rules.Check(tried); len(faults) > 0 {
				t.Fatalf("an unsound job came out: %v", faults)
			}
			if seed%10 != 0 {
				return
			}
			plan, err := planner.Plan(t.Context(), tried, planner.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if faults := verify.Plan(tried, plan); len(faults) > 0 {
				t.Errorf("the plan does not hold: %v", faults)
			}
		})
	}
}

// inWords holds an error of Apply to what it has to say.
func inWords(t *testing.T, err error, ops int) {
	t.Helper()
	var op *trial.OpError
	var refusal *scheduler.Refusal
	var faults scheduler.Faults
	if !errors.As(err, &op) || op.At < 0 || op.At >= ops {
		t.Fatalf("it does not say which of %d changes is meant: %v", ops, err)
	}
	var misfits jobfile.Misfits
	if !errors.As(err, &refusal) && !errors.As(err, &faults) && !errors.As(err, &misfits) || op.Cause.Error() == "" {
		t.Errorf("no words for people: %#v", err)
	}
}

// randomOps are changes of every kind about things that are there, some of them wrong.
func randomOps(job *scheduler.Job, r *rand.Rand) []trial.Op {
	var ops []trial.Op
	from := job.Start + worktime.Date(r.IntN(60))
	for range 1 + r.IntN(6) {
		t := &job.Tasks[r.IntN(max(len(job.Tasks), 1))]
		trade := &job.Trades[r.IntN(len(job.Trades))]
		switch r.IntN(7) {
		case 0:
			ops = trial.With(ops, trial.Op{Takes: &trial.Takes{Step: t.ID, Takes: worktime.Span{Amount: int32(r.IntN(9)), Unit: worktime.Days}}})
		case 1:
			ops = trial.With(ops, trial.Op{Crews: &trial.Crews{Trade: trade.ID, Crews: r.IntN(4)}})
		case 2:
			if len(job.Orders) > 0 {
				o := &job.Orders[r.IntN(len(job.Orders))]
				ops = trial.With(ops, trial.Op{Expected: &trial.Expected{Step: o.DeliveryStep(), Day: from}})
			}
		case 3:
			if len(job.People) > 0 {
				ops = trial.With(ops, trial.Op{Pin: &trial.Pin{Step: t.ID, NotBefore: &from, By: job.People[0].ID, Reason: "a try"}})
			}
		case 4:
			ops = trial.With(ops, trial.Op{Off: &trial.Off{Trade: trade.ID, From: from, To: from + worktime.Date(r.IntN(10)) - 1}})
		case 5:
			if len(job.BuildUps) > 0 {
				b := &job.BuildUps[r.IntN(len(job.BuildUps))]
				ops = trial.With(ops, trial.Op{Layer: &trial.Layer{
					BuildUp: b.ID, Layer: b.Layers[r.IntN(len(b.Layers))].ID, After: b.Layers[r.IntN(len(b.Layers))].ID,
				}})
			}
		case 6:
			if more, err := trial.Add(job, ops, trial.Op{Put: randomPut(job, r)}); err == nil {
				ops = more
			}
		}
	}
	if len(ops) == 0 {
		ops = append(ops, trial.Op{Crews: &trial.Crews{Trade: job.Trades[0].ID, Crews: 2}})
	}
	return ops
}

func TestApplyDoesWhatIsSaid(t *testing.T) {
	job := read(t)
	tried, err := trial.Apply(job, []trial.Op{
		{Takes: &trial.Takes{Step: "clad", Takes: span("9 days")}},
		{Crews: &trial.Crews{Trade: "cladding", Crews: 3}},
		{Off: &trial.Off{Trade: "cladding", From: date("2026-06-01"), To: date("2026-06-03")}},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, task := range tried.Tasks {
		if task.ID == "clad" && task.Takes != span("9 days") {
			t.Errorf("clad takes %s", task.Takes)
		}
	}
	for _, trade := range tried.Trades {
		if trade.ID != "cladding" {
			continue
		}
		off := trade.Off[len(trade.Off)-1]
		if trade.Crews != 3 || off.From != date("2026-06-01") || off.To != date("2026-06-03") {
			t.Errorf("%d crews, off %v", trade.Crews, off)
		}
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		name string
		op   trial.Op
		kind error
		says string
	}{
		{"nothing", trial.Op{}, scheduler.ErrIncomplete, "change 1: a change says 0 things; say one thing in each change"},
		{"two things", trial.Op{Crews: &trial.Crews{Trade: "cladding", Crews: 2}, Takes: &trial.Takes{Step: "clad"}}, scheduler.ErrIncomplete, "change 1: a change says 2 things; say one thing in each change"},
		{"no such step", trial.Op{Takes: &trial.Takes{Step: "digg", Takes: span("1 day")}}, scheduler.ErrNotFound, ""},
		{"no crew", trial.Op{Crews: &trial.Crews{Trade: "cladding"}}, scheduler.ErrImpossible, ""},
		{"no such trade", trial.Op{Crews: &trial.Crews{Trade: "nobody", Crews: 1}}, scheduler.ErrNotFound, ""},
		{"backwards", trial.Op{Off: &trial.Off{Trade: "cladding", From: date("2026-06-03"), To: date("2026-06-01")}}, scheduler.ErrImpossible, "change 1: days off from 2026-06-03 to 2026-06-01 end before they begin; put the earlier day first"},
		{"a pin of nobody", trial.Op{Pin: &trial.Pin{Step: "clad", NotBefore: day("2026-06-01"), Reason: "why not"}}, scheduler.ErrIncomplete, ""},
		{"no such build-up", trial.Op{Layer: &trial.Layer{BuildUp: "roof-skin", Layer: "boards"}}, scheduler.ErrNotFound, `change 1: no build-up is called "roof-skin"`},
		{"no such layer", trial.Op{Layer: &trial.Layer{BuildUp: "wall-skin", Layer: "paint"}}, scheduler.ErrNotFound, `change 1: the build-up wall-skin has no layer "paint"`},
		{"behind itself", trial.Op{Layer: &trial.Layer{BuildUp: "wall-skin", Layer: "boards", After: "boards"}}, scheduler.ErrImpossible, "change 1: a layer cannot come after itself; name another layer, or none for the first place"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := trial.Apply(read(t), []trial.Op{c.op})
			if !errors.Is(err, c.kind) || c.says != "" && err.Error() != c.says {
				t.Errorf("%v (%v)", err, errors.Unwrap(errors.Unwrap(err)))
			}
		})
	}
	if _, err := trial.Apply(read(t), make([]trial.Op, trial.MostOps+1)); !errors.Is(err, scheduler.ErrImpossible) {
		t.Errorf("too many: %v", err)
	}
}

// TestUnsoundAfter: what the rules find is laid at the door of the change that brought it.
func TestUnsoundAfter(t *testing.T) {
	_, err := trial.Apply(read(t), []trial.Op{
		{Crews: &trial.Crews{Trade: "cladding", Crews: 2}},
		{Layer: &trial.Layer{BuildUp: "wall-skin", Layer: "sheathing", After: "boards"}}, // it has limits that need a cover
	})
	var op *trial.OpError
	var faults scheduler.Faults
	if !errors.As(err, &op) || op.At != 1 || !errors.As(err, &faults) {
		t.Errorf("%v", err)
	}
}

func TestWithTakesTheLaterWord(t *testing.T) {
	ops := []trial.Op{{Crews: &trial.Crews{Trade: "a", Crews: 2}}, {Takes: &trial.Takes{Step: "x", Takes: span("1 day")}}}
	got := trial.With(ops, trial.Op{Crews: &trial.Crews{Trade: "a", Crews: 3}})
	if len(got) != 2 || got[1].Crews == nil || got[1].Crews.Crews != 3 || ops[0].Crews.Crews != 2 {
		t.Errorf("%+v", got)
	}
}

func TestOpsAsText(t *testing.T) {
	const text = `[{"takes":{"step":"dig","takes":"9 days"}},{"crews":{"trade":"a","crews":2}},{"expected":{"step":"w.delivery","day":"2026-06-01"}},` +
		`{"pin":{"step":"dig","not_before":"2026-06-01","by":"ida","reason":"r"}},{"off":{"trade":"a","from":"2026-06-01","to":"2026-06-02"}},` +
		`{"layer":{"build_up":"b","layer":"l","after":"k"}},{"put":{"path":["tasks","dig"],"text":"{title: Dig}","was":"1a","says":"s"}}]`
	var ops []trial.Op
	if err := json.Unmarshal([]byte(text), &ops); err != nil {
		t.Fatal(err)
	}
	if back, err := json.Marshal(ops); err != nil || string(back) != text {
		t.Errorf("%s, %v", back, err)
	}
}
