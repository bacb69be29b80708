package db_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func put(t *testing.T, store *db.Store, job *scheduler.Job) int64 {
	t.Helper()
	revision, err := store.Put(t.Context(), job, db.By("ida"))
	if err != nil {
		t.Fatal(err)
	}
	return revision
}

func get(t *testing.T, store *db.Store, id scheduler.ID) *scheduler.Job {
	t.Helper()
	job, _, err := store.Job(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

func change(t *testing.T, store *db.Store, id scheduler.ID, by string, do func(*scheduler.Job)) int64 {
	t.Helper()
	revision, err := store.Change(t.Context(), id, db.By(by), func(j *scheduler.Job) error { do(j); return nil })
	if err != nil {
		t.Fatal(err)
	}
	return revision
}

func newTask(id scheduler.ID) scheduler.Task {
	return scheduler.Task{ID: id, Title: "Something more", Work: scheduler.Work{
		Trades: []scheduler.ID{"framing"}, Crews: 1, Places: []scheduler.ID{"house"},
		Takes: worktime.Span{Amount: 1, Unit: worktime.Days},
	}}
}

// written counts, table by table, the rows that the newest change has written.
func written(t *testing.T, conn *pgx.Conn) map[string]int {
	t.Helper()
	rows, err := conn.Query(t.Context(), `SELECT table_name::text FROM information_schema.tables WHERE table_schema = 'public'`)
	if err != nil {
		t.Fatal(err)
	}
	tables, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	counts := map[string]int{}
	for _, table := range tables {
		var n int
		err := conn.QueryRow(t.Context(), `SELECT count(*) FROM `+pgx.Identifier{table}.Sanitize()+`
			WHERE xmin::text = (SELECT xmin::text FROM change ORDER BY revision DESC LIMIT 1)`).Scan(&n)
		if err != nil {
			t.Fatal(err)
		}
		if n > 0 {
			counts[table] = n
		}
	}
	return counts
}

func TestOnlyDifferencesAreWritten(t *testing.T) {
	t.Parallel()
	address := dbtest.Address(t)
	store, conn := at(t, address)
	job := everyFeature(t)
	put(t, store, job)
	for _, c := range []struct {
		name string
		do   func(*scheduler.Job)
		want map[string]int
	}{
		{"a fact more", func(j *scheduler.Job) {
			j.Facts = append(j.Facts, scheduler.Fact{Step: "tape", Started: &worktime.When{Day: worktime.NewDate(2026, 4, 10)}})
		}, map[string]int{"fact": 1}},
		{"a fact changed", func(j *scheduler.Job) { j.Facts[len(j.Facts)-1].Note = "late" }, map[string]int{"fact": 1}},
		{"a task between others", func(j *scheduler.Job) {
			j.Tasks = append(j.Tasks[:1:1], append([]scheduler.Task{newTask("between")}, j.Tasks[1:]...)...)
		}, map[string]int{"task": 1, "task_trade": 1, "task_place": 1, "step_name": 1}},
		{"two at the end", func(j *scheduler.Job) {
			j.Tasks = append(j.Tasks, newTask("last"), newTask("very-last"))
		}, map[string]int{"task": 2, "task_trade": 2, "task_place": 2, "step_name": 2}},
		{"one less", func(j *scheduler.Job) { j.Tasks = j.Tasks[:len(j.Tasks)-1] }, map[string]int{}},
		{"the title", func(j *scheduler.Job) { j.Title = "Otherwise" }, map[string]int{}},
		{"another place for a typical", func(j *scheduler.Job) {
			j.Typicals[0].Places = append(j.Typicals[0].Places, "garden")
		}, map[string]int{"typical_place": 1, "step_name": 3}},
	} {
		want := get(t, store, job.ID)
		c.do(want)
		change(t, store, job.ID, "kim", c.do)
		want.Canonical()
		if d := cmp.Diff(want, get(t, store, job.ID), same); d != "" {
			t.Errorf("%s: came back otherwise:\n%s", c.name, d)
		}
		c.want["job"] = 1
		got := written(t, conn)
		delete(got, "change")
		delete(got, "revision")
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%s: rows written (-want +got):\n%s", c.name, d)
		}
	}
}

// at is a store on a database and a connection to the same.
func at(t *testing.T, address string) (*db.Store, *pgx.Conn) {
	t.Helper()
	store, err := db.Open(t.Context(), address, noon)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(store.Close)
	conn, err := pgx.Connect(t.Context(), strings.Replace(address, "&pool_max_conns=6", "", 1))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close(context.Background()) })
	return store, conn
}

func TestNothingDifferentIsNoChange(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	first := put(t, store, job)
	if again := put(t, store, job); again != first {
		t.Errorf("the same job again is revision %d, want %d", again, first)
	}
	if again := change(t, store, job.ID, "kim", func(*scheduler.Job) {}); again != first {
		t.Errorf("a change of nothing is revision %d, want %d", again, first)
	}
}

func TestRefusedChangesLeaveNothing(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	revision := put(t, store, job)
	wrong := errors.New("not today")
	for _, c := range []struct {
		name string
		do   func() (int64, error)
		is   func(error) bool
	}{
		{"an error of the change", func() (int64, error) {
			return store.Change(t.Context(), job.ID, db.By("kim"), func(j *scheduler.Job) error { j.Title = "no"; return wrong })
		}, func(err error) bool { return errors.Is(err, wrong) }},
		{"an unsound outcome", func() (int64, error) {
			return store.Change(t.Context(), job.ID, db.By("kim"), func(j *scheduler.Job) error { j.Tasks[0].Places[0] = "nowhere"; return nil })
		}, func(err error) bool { return errors.As(err, new(scheduler.Faults)) }},
		{"an unsound job", func() (int64, error) {
			unsound := everyFeature(t)
			unsound.Zone = "Nowhere"
			return store.Put(t.Context(), unsound, db.By("kim"))
		}, func(err error) bool { return errors.As(err, new(scheduler.Faults)) }},
		{"an old revision", func() (int64, error) {
			return store.Change(t.Context(), job.ID, db.Edit{By: db.Author{Name: "kim"}, At: revision + 1}, func(j *scheduler.Job) error { j.Title = "no"; return nil })
		}, func(err error) bool { return errors.Is(err, db.ErrStale) }},
		{"no such job", func() (int64, error) {
			return store.Change(t.Context(), "none", db.By("kim"), func(*scheduler.Job) error { return nil })
		}, func(err error) bool { return errors.Is(err, scheduler.ErrNotFound) }},
		{"nobody", func() (int64, error) {
			return store.Change(t.Context(), job.ID, db.By(""), func(j *scheduler.Job) error { j.Title = "no"; return nil })
		}, func(err error) bool { return err != nil }},
		{"a broken-off request", func() (int64, error) {
			ctx, cancel := context.WithCancel(t.Context())
			return store.Change(ctx, job.ID, db.By("kim"), func(j *scheduler.Job) error { j.Title = "no"; cancel(); return nil })
		}, func(err error) bool { return errors.Is(err, context.Canceled) }},
	} {
		if _, err := c.do(); !c.is(err) {
			t.Errorf("%s: got the error %v", c.name, err)
		}
		back, at, err := store.Job(t.Context(), job.ID)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(job, back, same); d != "" || at != revision {
			t.Errorf("%s: left revision %d:\n%s", c.name, at, d)
		}
	}
	for _, err := range []error{
		func() error { _, _, err := store.Job(t.Context(), "none"); return err }(),
		func() error { _, err := store.History(t.Context(), "none", 0, 10); return err }(),
	} {
		if !errors.Is(err, scheduler.ErrNotFound) {
			t.Errorf("asked for a job that is not there: %v", err)
		}
	}
}

func TestChangeAtTheNewestRevision(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	first := put(t, store, job)
	next, err := store.Change(t.Context(), job.ID, db.Edit{By: db.Author{Name: "kim"}, At: first}, func(j *scheduler.Job) error { j.Title = "Otherwise"; return nil })
	if err != nil || next != first+1 {
		t.Errorf("got revision %d and %v, want %d", next, err, first+1)
	}
}

func TestManyAtOnceTakeTurns(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	var all sync.WaitGroup
	for k := range 6 {
		all.Go(func() {
			own := everyFeature(t)
			if _, err := store.Put(t.Context(), own, db.By("ida")); err != nil {
				t.Error(err) // six who create one job: one does, the others find it there
			}
			for n := range 10 {
				_, err := store.Change(t.Context(), job.ID, db.By(fmt.Sprint("person ", k)), func(j *scheduler.Job) error {
					j.Tasks = append(j.Tasks, newTask(scheduler.ID(fmt.Sprintf("task-%d-%d", k, n))))
					return nil
				})
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	_, revision, err := store.Job(t.Context(), job.ID)
	if err != nil {
		t.Fatal(err)
	}
	lines, err := store.History(t.Context(), job.ID, 0, 100_000)
	if err != nil {
		t.Fatal(err)
	}
	wantGapless(t, lines, revision)
	// Whoever put late took the tasks of others away: what is there is what the history says.
	there := map[string]bool{}
	for _, l := range slices.Backward(lines) {
		if l.Kind == "task" {
			there[l.Key] = l.Is != nil
		}
	}
	for _, task := range get(t, store, job.ID).Tasks {
		if !there[string(task.ID)] {
			t.Errorf("task %q is there and the history does not say so", task.ID)
		}
		delete(there, string(task.ID))
	}
	for _, key := range []string{"openings.pan", "openings.set"} {
		delete(there, key)
	}
	for key, is := range there {
		if is {
			t.Errorf("task %q is not there and the history says so", key)
		}
	}
}

// TestOneOfManyMakesAJob has many make a job of one name at once.
func TestOneOfManyMakesAJob(t *testing.T) {
	store := open(t)
	const many = 8
	outcomes := make([]error, many)
	var all sync.WaitGroup
	for k := range many {
		job := *everyFeature(t)
		job.Title = fmt.Sprint("Made by ", k)
		all.Go(func() {
			_, outcomes[k] = store.Put(t.Context(), &job, db.Edit{By: db.Author{Name: "ida"}, New: true})
		})
	}
	all.Wait()
	made := ""
	for k, err := range outcomes {
		switch {
		case err == nil && made == "":
			made = fmt.Sprint("Made by ", k)
		case !errors.Is(err, scheduler.ErrAlready):
			t.Errorf("the one after %q: %v", made, err)
		}
	}
	if job := get(t, store, everyFeature(t).ID); job.Title != made {
		t.Errorf("the job is %q, told was %q", job.Title, made)
	}
}

// TestMakingAJobTwiceByOneRequest sends one request twice: it is the same job.
func TestMakingAJobTwiceByOneRequest(t *testing.T) {
	store := open(t)
	e := db.Edit{By: db.Author{Name: "ida"}, New: true, Key: "once", Print: "p"}
	for range 2 {
		if revision, err := store.Put(t.Context(), everyFeature(t), e); err != nil || revision != 1 {
			t.Fatal(revision, err)
		}
	}
}
