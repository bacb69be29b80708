package scheduler_test

import (
	"errors"
	"os"
	"reflect"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/rules"
)

var sameJob = cmp.Options{cmpopts.IgnoreTypes(scheduler.Pos{}), cmpopts.EquateEmpty()}

func featureJob(t *testing.T) *scheduler.Job {
	t.Helper()
	const file = "../testdata/every-feature.job.yaml"
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read(file, data)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

// jobsToRename are a job with every key and random ones with every feature.
func jobsToRename(t *testing.T) []*scheduler.Job {
	jobs := []*scheduler.Job{featureJob(t)}
	for seed := range uint64(30) {
		jobs = append(jobs, randomjob.New(seed, randomjob.Size{Steps: 15 + int(seed)}))
	}
	return jobs
}

// TestEveryNameIsKnown walks every field of a job by reflection: each that is a name, and
// is not empty, is gone through once, and no text but those known holds names.
func TestEveryNameIsKnown(t *testing.T) {
	texts := map[string]bool{}
	for _, job := range jobsToRename(t) {
		visited := map[*scheduler.ID]int{}
		scheduler.EachName(job, func(at *scheduler.ID) { visited[at]++ })
		names := 0
		walk(reflect.ValueOf(job).Elem(), "Job", func(path string, v reflect.Value) {
			if v.Type() != reflect.TypeFor[scheduler.ID]() {
				texts[path] = true
				return
			}
			names++
			at := v.Addr().Interface().(*scheduler.ID)
			if want := min(1, len(*at)); visited[at] != want {
				t.Errorf("%s %q is gone through %d times", path, *at, visited[at])
			}
		})
		if names < 50 {
			t.Errorf("only %d names in job %s", names, job.ID)
		}
	}
	withNames := []string{"Job.Asides.Alert", "Job.Promises.Window", "Job.Answers.Window"}
	without := []string{
		"Job.Title", "Job.Zone", "Job.Closures.Why", "Job.People.Name", "Job.People.Role", "Job.Trades.Title", "Job.Trades.Short", "Job.Trades.Off.Why",
		"Job.Gear.Title", "Job.Places.Title", "Job.Places.Closures.Why", "Job.Tasks.Title", "Job.Tasks.Work.Cautions", "Job.Tasks.Note",
		"Job.Holds.Title", "Job.Holds.Kind", "Job.Holds.Work.Cautions", "Job.Holds.Note", "Job.Orders.Title", "Job.Orders.Stages.Title", "Job.Orders.StandIn",
		"Job.Orders.Cautions", "Job.Orders.Note", "Job.Typicals.Title", "Job.Typicals.Tasks.Title", "Job.Typicals.Tasks.Work.Cautions", "Job.Typicals.Tasks.Note",
		"Job.Typicals.Holds.Title", "Job.Typicals.Holds.Kind", "Job.Typicals.Holds.Work.Cautions", "Job.Typicals.Holds.Note",
		"Job.Typicals.Waits.Reason", "Job.Typicals.Waits.Note", "Job.Typicals.Waits.Source", "Job.Typicals.Waits.Origin",
		"Job.BuildUps.Title", "Job.BuildUps.Outward", "Job.BuildUps.Layers.Title", "Job.BuildUps.Layers.Material", "Job.BuildUps.Layers.Source",
		"Job.Waits.Reason", "Job.Waits.Note", "Job.Waits.Source", "Job.Waits.Origin", "Job.Occupations.Title", "Job.Dues.Title", "Job.Facts.Note", "Job.Facts.Evidence",
		"Job.Site.Access", "Job.Site.Parking", "Job.Site.Unloading", "Job.Site.Storage", "Job.Site.Lifting", "Job.Site.Power", "Job.Drawings.Title", "Job.Drawings.Revision",
		"Job.Waivers.Reason", "Job.Pins.Reason", "Job.Asides.Reason", "Job.Issues.Letter", "Job.Issues.Note", "Job.Promises.Letter", "Job.Answers.Note",
	}
	for path := range texts {
		if !slices.Contains(withNames, path) && !slices.Contains(without, path) {
			t.Errorf("%s is a text that this test does not know: does it hold names? Then Rename has to know it", path)
		}
	}
}

// walk visits every text in a value, by the path of fields to it.
func walk(v reflect.Value, path string, visit func(string, reflect.Value)) {
	switch v.Kind() {
	case reflect.String:
		visit(path, v)
	case reflect.Pointer:
		if !v.IsNil() {
			walk(v.Elem(), path, visit)
		}
	case reflect.Slice, reflect.Array:
		for k := range v.Len() {
			walk(v.Index(k), path, visit)
		}
	case reflect.Struct:
		for k := range v.NumField() {
			if f := v.Type().Field(k); f.IsExported() {
				walk(v.Field(k), path+"."+f.Name, visit)
			}
		}
	}
}

// thingsIn are all things of a job that have names.
func thingsIn(j *scheduler.Job) (all []scheduler.Named) {
	add := func(kind scheduler.NameKind, in, id scheduler.ID) {
		all = append(all, scheduler.Named{Kind: kind, In: in, ID: id})
	}
	for _, p := range j.People {
		add(scheduler.PersonName, "", p.ID)
	}
	for k := range j.Trades {
		add(scheduler.TradeName, "", j.Trades[k].ID)
	}
	for _, g := range j.Gear {
		add(scheduler.GearName, "", g.ID)
	}
	for k := range j.Places {
		add(scheduler.PlaceName, "", j.Places[k].ID)
	}
	steps := func(in scheduler.ID, tasks []scheduler.Task, holds []scheduler.Hold) {
		for k := range tasks {
			add(scheduler.TaskName, in, tasks[k].ID)
		}
		for k := range holds {
			add(scheduler.HoldName, in, holds[k].ID)
		}
	}
	steps("", j.Tasks, j.Holds)
	for k := range j.Orders {
		o := &j.Orders[k]
		add(scheduler.OrderName, "", o.ID)
		for n := range o.Stages {
			add(scheduler.StageName, o.ID, o.Stages[n].ID)
		}
	}
	for k := range j.Typicals {
		t := &j.Typicals[k]
		add(scheduler.TypicalName, "", t.ID)
		steps(t.ID, t.Tasks, t.Holds)
	}
	for k := range j.BuildUps {
		b := &j.BuildUps[k]
		add(scheduler.BuildUpName, "", b.ID)
		for n := range b.Layers {
			add(scheduler.LayerName, b.ID, b.Layers[n].ID)
		}
	}
	for k := range j.Occupations {
		add(scheduler.OccupationName, "", j.Occupations[k].ID)
	}
	for _, d := range j.Dues {
		add(scheduler.DueName, "", d.ID)
	}
	return all
}

// TestRenameThereAndBack gives every thing another name and its own back: in between the
// job is sound, so nothing speaks of the old name, and then it is what it was.
func TestRenameThereAndBack(t *testing.T) {
	done := map[scheduler.NameKind]int{}
	for _, job := range jobsToRename(t) {
		job.Canonical()
		untouched := text(t, job)
		for _, thing := range thingsIn(job) {
			next := job.Copy()
			there, err := next.Rename(thing, "quite-another")
			if err != nil {
				t.Fatalf("%s: %+v: %v", job.ID, thing, err)
			}
			if faults := rules.Check(next); len(faults) > 0 {
				t.Fatalf("%s: %+v: %v", job.ID, thing, faults)
			}
			next.Canonical()
			middle := text(t, next)
			if middle == untouched {
				t.Errorf("%s: %+v: nothing is different", job.ID, thing)
			}
			again := thing
			again.ID = "quite-another"
			back, err := next.Rename(again, thing.ID)
			if err != nil {
				t.Fatalf("%s: %+v back: %v", job.ID, thing, err)
			}
			if d := cmp.Diff(there.Back(), back, cmpopts.EquateEmpty()); d != "" {
				t.Errorf("%s: %+v: there and back differ: %s", job.ID, thing, d)
			}
			if d := cmp.Diff(job, next, sameJob); d != "" {
				t.Fatalf("%s: %+v: there and back the job is another: %s", job.ID, thing, d)
			}
			if text(t, job) != untouched {
				t.Fatalf("%s: %+v: what was copied has changed", job.ID, thing)
			}
			done[thing.Kind]++
		}
	}
	for _, kind := range []scheduler.NameKind{
		scheduler.PersonName, scheduler.TradeName, scheduler.GearName, scheduler.PlaceName, scheduler.TaskName, scheduler.HoldName, scheduler.OrderName,
		scheduler.StageName, scheduler.TypicalName, scheduler.BuildUpName, scheduler.LayerName, scheduler.OccupationName, scheduler.DueName,
	} {
		if done[kind] < 5 {
			t.Errorf("only %d of the kind %s", done[kind], kind)
		}
	}
}

func text(t *testing.T, job *scheduler.Job) string {
	t.Helper()
	data, err := jobfile.Write(job)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestRenameIsRefused(t *testing.T) {
	for _, c := range []struct {
		name  string
		thing scheduler.Named
		to    scheduler.ID
		kind  error
	}{
		{"of nothing", scheduler.Named{Kind: scheduler.TaskName, ID: "moon"}, "sun", scheduler.ErrNotFound},
		{"of the job itself", scheduler.Named{Kind: "job", ID: "garden-studio"}, "sun", scheduler.ErrNotFound},
		{"to nothing", scheduler.Named{Kind: scheduler.TaskName, ID: "frame"}, "", scheduler.ErrIncomplete},
		{"to its own", scheduler.Named{Kind: scheduler.TaskName, ID: "frame"}, "frame", scheduler.ErrAlready},
		{"to another task's", scheduler.Named{Kind: scheduler.TaskName, ID: "frame"}, "tape", scheduler.ErrAlready},
		{"to a hold point's", scheduler.Named{Kind: scheduler.TaskName, ID: "frame"}, "frame-seen", scheduler.ErrAlready},
		{"of a trade to a person's", scheduler.Named{Kind: scheduler.TradeName, ID: "windows"}, "kim", scheduler.ErrAlready},
		{"of a typical's step to its neighbour's", scheduler.Named{Kind: scheduler.TaskName, In: "openings", ID: "pan"}, "set", scheduler.ErrAlready},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := featureJob(t)
			before := text(t, job)
			if _, err := job.Rename(c.thing, c.to); !errors.Is(err, c.kind) {
				t.Errorf("%v, want %v", err, c.kind)
			}
			if text(t, job) != before {
				t.Error("something was changed")
			}
		})
	}
}

// TestRenameDoesNotTakeAnothersPlace refuses names under which something else is meant.
func TestRenameDoesNotTakeAnothersPlace(t *testing.T) {
	point := func(step scheduler.ID) scheduler.Point { return scheduler.Point{Step: step, End: scheduler.Finish} }
	wait := func(from, to scheduler.ID) scheduler.Wait {
		return scheduler.Wait{From: point(from), To: scheduler.Point{Step: to}}
	}
	job := &scheduler.Job{
		Tasks: []scheduler.Task{{ID: "dig"}, {ID: "pour"}},
		Typicals: []scheduler.Typical{{
			ID: "rooms", Places: []scheduler.ID{"bath"}, Tasks: []scheduler.Task{{ID: "tile"}, {ID: "grout"}},
			Waits: []scheduler.Wait{wait("tile", "grout"), wait("dig", "tile")},
		}},
		Promises: []scheduler.Promise{{Window: "tilers.bath.gone", Trade: "tilers", Place: "bath", Steps: []scheduler.ID{"gone"}}},
	}
	for _, c := range []struct {
		thing scheduler.Named
		to    scheduler.ID
	}{
		{scheduler.Named{Kind: scheduler.TaskName, ID: "dig"}, "tile"},               // its wait for dig would be one for its own tile
		{scheduler.Named{Kind: scheduler.TaskName, In: "rooms", ID: "grout"}, "dig"}, // its wait for dig would be one for itself
		{scheduler.Named{Kind: scheduler.TaskName, ID: "pour"}, "gone"},              // what was promised was another
	} {
		if _, err := job.Rename(c.thing, c.to); !errors.Is(err, scheduler.ErrImpossible) {
			t.Errorf("%+v to %s: %v", c.thing, c.to, err)
		}
	}
	if _, err := job.Rename(scheduler.Named{Kind: scheduler.TaskName, ID: "pour"}, "tile"); err != nil {
		t.Errorf("within the typical tile is its own: %v", err)
	}
}
