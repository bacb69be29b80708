package db_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/randomjob"
)

// same compares jobs by what they say: not by where it was written, and no list is
// the same as an empty one.
var same = cmp.Options{cmpopts.IgnoreTypes(scheduler.Pos{}), cmpopts.EquateEmpty()}

func readFile(t testing.TB, name string) *scheduler.Job {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read(name, data)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

func everyFeature(t *testing.T) *scheduler.Job {
	t.Helper()
	return readFile(t, "../testdata/every-feature.job.yaml")
}

func TestFileToDatabaseToFile(t *testing.T) {
	files, err := filepath.Glob("../testdata/*.job.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no job files (%v)", err)
	}
	store := open(t)
	for _, name := range files {
		if strings.Contains(name, "mistakes") {
			continue // not a sound job, on purpose
		}
		job := readFile(t, name)
		before, err := jobfile.Write(job)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := store.Put(t.Context(), job, db.By("ida")); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		back, _, err := store.Job(t.Context(), job.ID)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(job, back, same); d != "" {
			t.Errorf("%s came back otherwise (-in +out):\n%s", name, d)
		}
		after, err := jobfile.Write(back)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(string(before), string(after)); d != "" {
			t.Errorf("%s is written otherwise:\n%s", name, d)
		}
	}
}

// inPlaceOf lets a job follow another one of its name: what was sent out stays.
func inPlaceOf(job, before *scheduler.Job) *scheduler.Job {
	if before == nil || len(before.Issues) == 0 {
		return job
	}
	job.Issues = before.Issues
	for k := range job.Promises {
		if p := &job.Promises[k]; p.Letter != "" {
			p.Letter = job.LastIssue().Letter
		}
	}
	return job
}

func TestRandomJobsComeBack(t *testing.T) {
	store := open(t)
	var before *scheduler.Job
	for seed := range uint64(40) {
		job := inPlaceOf(randomjob.New(seed, randomjob.Size{Steps: 5 + int(seed)*2, Tight: 20}), before)
		job.ID, before = "random", job // each takes the place of the one before
		revision, err := store.Put(t.Context(), job, db.By("ida"))
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		back, at, err := store.Job(t.Context(), job.ID)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(job, back, same); d != "" {
			t.Errorf("seed %d came back otherwise (-in +out):\n%s", seed, d)
		}
		if revision != int64(seed)+1 || at != revision {
			t.Errorf("seed %d: put as revision %d, read as %d, want %d", seed, revision, at, seed+1)
		}
	}
}
