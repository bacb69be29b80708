package db_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
)

// TestALargeJob tells how long each takes; what may not end is ended by the test's own limit.
func TestALargeJob(t *testing.T) {
	store := forgetful(t)
	large := func(seed uint64, steps int) *scheduler.Job {
		job := randomjob.Plain(seed, steps, steps*5/2)
		for k := range job.Trades {
			job.Trades[k].Crews = 100
		}
		job.Canonical()
		return job
	}
	steps := 3_000
	if soak() {
		steps = 20_000
	}
	job, other, small := large(1, steps), large(2, steps), large(3, 100)
	timed := func(what string, do func()) {
		t.Helper()
		began := time.Now()
		do()
		t.Logf("%s took %v", what, time.Since(began))
	}
	timed(fmt.Sprint("putting ", steps, " steps"), func() { put(t, store, job) })
	timed("reading them", func() { get(t, store, job.ID) })
	timed("changing one", func() { change(t, store, job.ID, "kim", func(j *scheduler.Job) { j.Tasks[0].Note = "new" }) })
	timed("putting others in their place", func() { put(t, store, other) })
	timed("putting few in their place", func() { put(t, store, small) })
	if d := cmp.Diff(small, get(t, store, job.ID), same); d != "" {
		t.Errorf("came back otherwise:\n%s", d)
	}
}

// wantedRead is within what the demo is to be read from the database.
const wantedRead = 20 * time.Millisecond

func BenchmarkReadDemo(b *testing.B) {
	store := forgetful(b)
	job := readFile(b, "../testdata/demo.job.yaml")
	if _, err := store.Put(b.Context(), job, db.By("ida")); err != nil {
		b.Fatal(err)
	}
	began, reads := time.Now(), 0
	for ; b.Loop(); reads++ {
		if _, _, err := store.Job(b.Context(), job.ID); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(time.Since(began).Seconds()/float64(reads)/wantedRead.Seconds(), "read/goal")
}

func BenchmarkRecordOneFact(b *testing.B) {
	store := dbtest.Open(b, noon)
	job := readFile(b, "../testdata/demo.job.yaml")
	if _, err := store.Put(b.Context(), job, db.By("ida")); err != nil {
		b.Fatal(err)
	}
	for n := 0; b.Loop(); n++ {
		_, err := store.Change(b.Context(), job.ID, db.By("kim"), func(j *scheduler.Job) error {
			j.Tasks[0].Note = string(rune('a' + n%26))
			return nil
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}
