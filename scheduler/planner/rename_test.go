package planner_test

import (
	"maps"
	"slices"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
)

// TestAPlanWithOtherNamesIsTheSame gives one thing of each kind another name: the plan
// has the same dates for the same steps, by their new names.
func TestAPlanWithOtherNamesIsTheSame(t *testing.T) {
	for seed := range uint64(8) {
		job := randomjob.New(seed, randomjob.Size{Steps: 18 + int(seed)})
		job.Canonical()
		before := plan(t, job)
		for _, thing := range oneOfEach(job) {
			next := job.Copy()
			names, err := next.Rename(thing, "quite-another")
			if err != nil {
				t.Fatal(err)
			}
			after := plan(t, next)
			if !after.Finish.Equal(before.Finish) || len(after.Steps) != len(before.Steps) || len(after.Windows) != len(before.Windows) ||
				len(after.Contradictions) != len(before.Contradictions) || len(after.Alerts) != len(before.Alerts) {
				t.Errorf("seed %d, %+v: another plan", seed, thing)
				continue
			}
			for k := range before.Steps {
				was, is := &before.Steps[k], &after.Steps[k]
				name := was.ID
				if now, ok := names.Steps[name]; ok {
					name = now
				}
				if is.ID != name || !is.Start.Equal(was.Start) || !is.Finish.Equal(was.Finish) || !is.EarliestStart.Equal(was.EarliestStart) || !is.LatestFinish.Equal(was.LatestFinish) {
					t.Errorf("seed %d, %+v: %s is %+v, was %+v", seed, thing, name, is, was)
				}
			}
		}
	}
}

// oneOfEach is the first thing of each kind.
func oneOfEach(j *scheduler.Job) []scheduler.Named {
	first := map[scheduler.NameKind]scheduler.Named{}
	add := func(kind scheduler.NameKind, in, id scheduler.ID) {
		if _, ok := first[kind]; !ok {
			first[kind] = scheduler.Named{Kind: kind, In: in, ID: id}
		}
	}
	for k := range j.Trades {
		add(scheduler.TradeName, "", j.Trades[k].ID)
	}
	for k := range j.Places {
		add(scheduler.PlaceName, "", j.Places[k].ID)
	}
	for k := range j.Tasks {
		add(scheduler.TaskName, "", j.Tasks[k].ID)
	}
	for k := range j.Orders {
		add(scheduler.OrderName, "", j.Orders[k].ID)
		add(scheduler.StageName, j.Orders[k].ID, j.Orders[k].Stages[0].ID)
	}
	for k := range j.Typicals {
		t := &j.Typicals[k]
		add(scheduler.TypicalName, "", t.ID)
		for n := range t.Holds {
			add(scheduler.HoldName, t.ID, t.Holds[n].ID)
		}
	}
	for k := range j.BuildUps {
		add(scheduler.BuildUpName, "", j.BuildUps[k].ID)
	}
	for k := range j.Dues {
		add(scheduler.DueName, "", j.Dues[k].ID)
	}
	return slices.Collect(maps.Values(first))
}
