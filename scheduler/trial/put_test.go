package trial_test

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/trial"
)

// randomPut changes, adds or takes out one thing of a job, at times wrongly.
func randomPut(job *scheduler.Job, r *rand.Rand) *trial.Put {
	sections := []string{"tasks", "trades", "places", "holds", "orders", "waits", "build-ups", "dues", "closures"}
	section := sections[r.IntN(len(sections))]
	all, _ := jobfile.Find(job, section)
	path := []string{section, "new"}
	thing := jobfile.Value{}
	switch {
	case len(all.Keys) > 0:
		e := all.Keys[r.IntN(len(all.Keys))]
		path[1], thing = e.Key, e.Value
	case len(all.List) > 0:
		thing = all.List[r.IntN(len(all.List))]
		path[1] = thing.Mark()
	}
	switch r.IntN(4) {
	case 0:
		return &trial.Put{Path: path}
	case 1:
		thing.Set("takes", jobfile.Value{Word: "3 days"})
	case 2:
		path[1] = "another"
	case 3:
		thing.Set("note", jobfile.Value{Word: "as it was tried"})
	}
	return &trial.Put{Path: path, Text: thing.String()}
}

func put(text string, path ...string) trial.Op {
	return trial.Op{Put: &trial.Put{Path: path, Text: text}}
}

// textOf is a thing of the job with one key set.
func textOf(t *testing.T, job *scheduler.Job, key, word string, path ...string) string {
	t.Helper()
	v, ok := jobfile.Find(job, path...)
	if !ok {
		t.Fatalf("no %v", path)
	}
	v.Set(key, jobfile.Value{Word: word})
	return v.String()
}

// TestAnyThingOfAJobCanBeTried: every section, with the words that a person reads.
func TestAnyThingOfAJobCanBeTried(t *testing.T) {
	job := read(t)
	for _, c := range []struct {
		name, says string
		op         trial.Op
	}{
		{"a task takes longer", "the task “Cladding”: takes 9 days instead of 5 days", put(textOf(t, job, "takes", "9 days", "tasks", "clad"), "tasks", "clad")},
		{"a new task", "a new task “Sweep”: takes 1 day, trade Cladding", put("{title: Sweep, takes: 1 day, trade: cladding}", "tasks", "sweep")},
		{"a new closure", "a new closure “Fair”: Mon 1 Jun 2026", put("{from: 2026-06-01, to: 2026-06-01, why: Fair}", "closures", "")},
		{"a new pin", "a new pin: step Paint inside, not before Mon 1 Jun 2026, by Ida Example, reason a try", put("{step: paint-inside, not-before: 2026-06-01, by: ida, reason: a try}", "pins", "")},
		{"the start", "the job: start Tue 7 Apr 2026 instead of Mon 2 Mar 2026", put("2026-04-07", "start")},
		{"a step of a typical", "the task “Set the window” of the typical “One window opening”: takes 3 hours instead of 4 hours", put(textOf(t, job, "takes", "3 hours", "typicals", "openings", "tasks", "set"), "typicals", "openings", "tasks", "set")},
		{"a due day goes", "", put("", "dues", string(job.Dues[0].ID))},
	} {
		t.Run(c.name, func(t *testing.T) {
			ops, err := trial.Add(job, nil, c.op)
			if err != nil {
				t.Fatal(err)
			}
			if says := ops[0].Say(job); c.says != "" && says != c.says {
				t.Errorf("it says %q", says)
			}
			tried, err := trial.Apply(job, ops)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(job, tried); d == "" {
				t.Error("nothing is changed")
			}
			if d := cmp.Diff(read(t), job); d != "" {
				t.Error("the job itself has changed", d)
			}
		})
	}
}

func TestWhatCannotBePut(t *testing.T) {
	job := read(t)
	for _, c := range []struct {
		name string
		op   trial.Op
		kind error
		says string
	}{
		{"a fact", put("{done: 2026-04-10}", "facts", "frame"), scheduler.ErrWrongKind, "nothing that a trial can change"},
		{"a whole section", put("{}", "tasks"), scheduler.ErrWrongKind, "one thing in it"},
		{"the name of the job", put("other", "job"), scheduler.ErrWrongKind, ""},
		{"nowhere", put("x"), scheduler.ErrWrongKind, ""},
		{"a layer by itself", put("{}", "build-ups", "wall-skin", "layers", "boards"), scheduler.ErrWrongKind, ""},
		{"too much", put(strings.Repeat("x", trial.MostText+1), "tasks", "clad"), scheduler.ErrImpossible, "smaller parts"},
		{"what is not there goes", put("", "closures", "feedbeef"), scheduler.ErrNotFound, "is not there"},
		{"made from another state", trial.Op{Put: &trial.Put{Path: []string{"tasks", "clad"}, Text: "{title: X, takes: 1 day}", Was: "feedbeef"}}, scheduler.ErrAlready, "has been changed since"},
		{"made from what is gone", trial.Op{Put: &trial.Put{Path: []string{"tasks", "gone"}, Text: "{title: X, takes: 1 day}", Was: "feedbeef"}}, scheduler.ErrNotFound, "take this change out"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := trial.Add(job, nil, c.op)
			var op *trial.OpError
			if !errors.As(err, &op) || op.At != 0 || !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%v", err)
			}
		})
	}
	// What does not fit says where, as the reader of files does.
	_, err := trial.Add(job, nil, put("{title: X, takes: soon}", "tasks", "x"))
	var misfits jobfile.Misfits
	if !errors.As(err, &misfits) || !misfits[0].Own || misfits[0].At[0] != "takes" {
		t.Errorf("%v", err)
	}
}

// TestAThingThatChangedMeanwhileIsNotOverwritten: a trial says what it was made from.
func TestAThingThatChangedMeanwhileIsNotOverwritten(t *testing.T) {
	job := read(t)
	ops, err := trial.Add(job, nil, put(textOf(t, job, "takes", "9 days", "tasks", "clad"), "tasks", "clad"), put("{title: Sweep, takes: 1 day}", "tasks", "sweep"))
	if err != nil {
		t.Fatal(err)
	}
	for k, later := range []trial.Op{
		put(textOf(t, job, "note", "by hand", "tasks", "clad"), "tasks", "clad"),
		put("{title: Sweep the roof, takes: 2 days}", "tasks", "sweep"),
	} {
		other, err := trial.Add(job, nil, later)
		if err != nil {
			t.Fatal(err)
		}
		changed, err := trial.Apply(job, other)
		if err != nil {
			t.Fatal(err)
		}
		var op *trial.OpError
		if _, err := trial.Apply(changed, ops); !errors.As(err, &op) || op.At != k || !errors.Is(err, scheduler.ErrAlready) {
			t.Errorf("%v", err)
		}
	}
}

// TestAddTakesTheLaterWordOfAThing: two words about one thing are one where nothing
// lies between, and what was new in the trial goes without a trace.
func TestAddTakesTheLaterWordOfAThing(t *testing.T) {
	job := read(t)
	trade := put("{title: Sweeps, crews: 1}", "trades", "sweeps")
	task := put("{title: Sweep, takes: 1 day, trade: sweeps}", "tasks", "sweep")
	again := put("{title: Sweeps, crews: 2}", "trades", "sweeps")
	for _, c := range []struct {
		name string
		ops  []trial.Op
		want []string
	}{
		{"one after the other", []trial.Op{trade, again}, []string{"a new trade “Sweeps”: crews 2"}},
		{"with work between", []trial.Op{trade, task, again}, []string{
			"a new trade “Sweeps”: crews 1", "a new task “Sweep”: takes 1 day, trade Sweeps", "the trade “Sweeps”: crews 2",
		}},
		{"and out again", []trial.Op{trade, put("", "trades", "sweeps")}, nil},
		{"two closures", []trial.Op{put("{from: 2026-06-01, to: 2026-06-01}", "closures", ""), put("{from: 2026-06-02, to: 2026-06-02}", "closures", "")}, []string{
			"a new closure: Mon 1 Jun 2026", "a new closure: Tue 2 Jun 2026",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			ops, err := trial.Add(job, nil, c.ops...)
			if err != nil {
				t.Fatal(err)
			}
			var says []string
			for _, op := range ops {
				says = append(says, op.Say(job))
			}
			if d := cmp.Diff(c.want, says); d != "" {
				t.Error(d)
			}
			tried, err := trial.Apply(job, ops)
			if err != nil {
				t.Fatal(err)
			}
			// Who has seen what the trial makes of a thing changes that.
			if v, ok := jobfile.Find(tried, "trades", "sweeps"); ok {
				more := put("{title: Sweeps, crews: 3}", "trades", "sweeps")
				more.Put.Was = v.Mark()
				if ops, err = trial.Add(job, ops, more); err != nil {
					t.Error(err)
				}
				more.Put.Was = "feedbeef"
				if _, err = trial.Add(job, ops, more); !errors.Is(err, scheduler.ErrAlready) {
					t.Error(err)
				}
			}
		})
	}
}

// TestWhatWasUnsoundBeforeIsNotLaidAtTheDoorOfAPut: putting reads the whole job.
func TestWhatWasUnsoundBeforeIsNotLaidAtTheDoorOfAPut(t *testing.T) {
	job := read(t)
	unsound := trial.Op{Layer: &trial.Layer{BuildUp: "wall-skin", Layer: "sheathing", After: "boards"}}
	_, err := trial.Apply(job, []trial.Op{unsound, put("{title: Sweep, takes: 1 day}", "tasks", "sweep")})
	var op *trial.OpError
	if !errors.As(err, &op) || op.At != 0 {
		t.Errorf("%v", err)
	}
}
