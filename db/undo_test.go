package db_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// TestEveryStateCanBeHadAgain goes through random states of a job: each is there
// afterwards as it was, and undoing one change after the other leads back through
// them to the first.
func TestEveryStateCanBeHadAgain(t *testing.T) {
	store := open(t)
	const id = "random"
	states := map[int64]*scheduler.Job{}
	random := rand.New(rand.NewPCG(4, 2))
	sentOut := &scheduler.Job{Issues: []scheduler.Issue{{Letter: "A", By: "person-own"}}} // by all of them: an issue cannot be undone
	sentOut.Issues[0].On, sentOut.Issues[0].AsOf = mustDate("2026-01-01"), mustDate("2026-01-01")
	for range 14 {
		job := inPlaceOf(randomjob.New(uint64(random.IntN(4)), randomjob.Size{Steps: 25}), sentOut)
		job.ID = id
		switch random.IntN(3) {
		case 0:
			job.Facts, job.Waivers = nil, nil
		case 1:
			job.Title = fmt.Sprint("Title ", random.IntN(1000))
		}
		revision := put(t, store, job)
		states[revision] = get(t, store, id)
	}
	newest := int64(len(states))
	if newest < 8 {
		t.Fatalf("%d states only", newest)
	}
	had := func(revision int64) *scheduler.Job {
		t.Helper()
		job, err := store.JobAt(t.Context(), id, revision)
		if err != nil {
			t.Fatal(err)
		}
		return job
	}
	for revision, want := range states {
		if d := cmp.Diff(want, had(revision), same); d != "" {
			t.Fatalf("revision %d came back otherwise:\n%s", revision, d)
		}
	}
	for back := newest - 1; back > 0; back-- {
		revision, err := store.Undo(t.Context(), id, 0, false, db.By("kim"))
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(states[back], get(t, store, id), same); d != "" {
			t.Fatalf("undoing led to revision %d and not to the state of %d:\n%s", revision, back, d)
		}
	}
	if _, err := store.Undo(t.Context(), id, 0, false, db.By("kim")); !errors.Is(err, scheduler.ErrImpossible) {
		t.Errorf("undoing the first revision: %v", err)
	}
	if d := cmp.Diff(states[newest], had(newest), same); d != "" {
		t.Errorf("after undoing, the newest state came back otherwise:\n%s", d)
	}
	// The undoing that came last is undone by its number: the change is there again.
	if _, err := store.Undo(t.Context(), id, 2*newest-1, false, db.By("kim")); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(states[2], get(t, store, id), same); d != "" {
		t.Errorf("undoing an undoing:\n%s", d)
	}
	lines, err := store.History(t.Context(), id, 0, 10000)
	if err != nil {
		t.Fatal(err)
	}
	wantGapless(t, lines, 2*newest)
}

func TestUndoOneAmongOthers(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	put(t, store, job)
	ida, bo := uuid.New(), uuid.New()
	edit := func(who uuid.UUID, do func(*scheduler.Job)) int64 {
		t.Helper()
		r, err := store.Change(t.Context(), job.ID, db.Edit{By: db.Author{Name: "x", Account: who}}, func(j *scheduler.Job) error { do(j); return nil })
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	crews := edit(ida, func(j *scheduler.Job) { j.Trades[0].Crews += 2 })
	title := edit(bo, func(j *scheduler.Job) { j.Title = "Otherwise" })
	edit(bo, func(j *scheduler.Job) { j.Title = "Otherwise again" })

	undo := func(revision int64, mine bool, who uuid.UUID) error {
		_, err := store.Undo(t.Context(), job.ID, revision, mine, db.Edit{By: db.Author{Name: "x", Account: who}})
		return err
	}
	before := get(t, store, job.ID)
	for name, c := range map[string]struct {
		err  error
		want error
	}{
		"built on":    {undo(title, false, ida), db.ErrBuiltOn},
		"another's":   {undo(title, true, ida), scheduler.ErrNotTheirs},
		"never was":   {undo(77, false, ida), db.ErrNotKept},
		"the first":   {undo(1, false, ida), scheduler.ErrImpossible},
		"nobody's":    {undo(0, true, uuid.New()), scheduler.ErrAlready},
		"no such job": {func() error { _, err := store.Undo(t.Context(), "none", 0, false, db.By("x")); return err }(), scheduler.ErrNotFound},
		"stale": {func() error {
			_, err := store.Undo(t.Context(), job.ID, 0, false, db.Edit{By: db.Author{Name: "x"}, At: 2})
			return err
		}(), db.ErrStale},
		"state never":   {func() error { _, err := store.JobAt(t.Context(), job.ID, 77); return err }(), db.ErrNotKept},
		"state of none": {func() error { _, err := store.JobAt(t.Context(), "none", 1); return err }(), scheduler.ErrNotFound},
		"state zero":    {func() error { _, err := store.JobAt(t.Context(), job.ID, 0); return err }(), db.ErrNotKept},
	} {
		if !errors.Is(c.err, c.want) {
			t.Errorf("%s: got %v, want %v", name, c.err, c.want)
		}
	}
	if d := cmp.Diff(before, get(t, store, job.ID), same); d != "" {
		t.Fatalf("something was undone all the same:\n%s", d)
	}
	if err := undo(0, true, ida); err != nil { // her own, which is not the newest
		t.Fatal(err)
	}
	after := get(t, store, job.ID)
	if after.Trades[0].Crews != before.Trades[0].Crews-2 || after.Title != before.Title {
		t.Errorf("crews %d, title %q", after.Trades[0].Crews, after.Title)
	}
	if err := undo(crews, false, bo); !errors.Is(err, scheduler.ErrAlready) {
		t.Errorf("undone twice: %v", err)
	}
}

// TestUndoneJobsAreSound: what others have built on in meaning only is found by the
// rules.
func TestUndoneJobsAreSound(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	put(t, store, job)
	more := change(t, store, job.ID, "kim", func(j *scheduler.Job) { j.Tasks = append(j.Tasks, newTask("extra")) })
	change(t, store, job.ID, "kim", func(j *scheduler.Job) {
		j.Facts = append(j.Facts, scheduler.Fact{Step: "extra", Started: &worktime.When{Day: worktime.NewDate(2026, 4, 9)}})
	})
	var faults scheduler.Faults
	if _, err := store.Undo(t.Context(), job.ID, more, false, db.By("kim")); !errors.As(err, &faults) {
		t.Errorf("a task with a record was undone: %v", err)
	}
}

// TestStatesBeforeTheyWereKept: a job from before deltas were kept says so.
func TestStatesBeforeTheyWereKept(t *testing.T) {
	t.Parallel()
	store, conn := at(t, dbtest.Address(t))
	job := everyFeature(t)
	put(t, store, job)
	change(t, store, job.ID, "kim", func(j *scheduler.Job) { j.Title = "Two" })
	change(t, store, job.ID, "kim", func(j *scheduler.Job) { j.Title = "Three" })
	if _, err := conn.Exec(t.Context(), `DELETE FROM revision WHERE revision = 2`); err != nil {
		t.Fatal(err)
	}
	if kept, err := store.JobAt(t.Context(), job.ID, 2); err != nil || kept.Title != "Two" {
		t.Errorf("revision 2: %v", err)
	}
	if _, err := store.JobAt(t.Context(), job.ID, 1); !errors.Is(err, db.ErrNotKept) {
		t.Errorf("revision 1: %v", err)
	}
	// A history that does not fit is no state and no "built on" either.
	if _, err := conn.Exec(t.Context(), `UPDATE job SET title = 'by hand'`); err != nil {
		t.Fatal(err)
	}
	if _, err := store.JobAt(t.Context(), job.ID, 2); err == nil || errors.Is(err, db.ErrBuiltOn) && errors.Is(err, db.ErrNotKept) {
		t.Errorf("a history that does not fit gave %v", err)
	}
}

func TestTheSameRequestAgainDoesNothing(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	first := db.Edit{By: db.Author{Name: "ida", Account: uuid.New()}, Key: "load", Print: "p"}
	for range 2 {
		if r, err := store.Put(t.Context(), job, first); err != nil || r != 1 {
			t.Fatalf("revision %d, %v", r, err)
		}
	}
	add := func(e db.Edit) (int64, error) {
		return store.Change(t.Context(), job.ID, e, func(j *scheduler.Job) error { j.Trades[0].Crews++; return nil })
	}
	before := get(t, store, job.ID).Trades[0].Crews
	// Many at once with one key, all made from the first revision: one does it.
	e := db.Edit{By: first.By, At: 1, Key: "crews", Print: "q"}
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			if r, err := add(e); err != nil || r != 2 {
				t.Errorf("revision %d, %v", r, err)
			}
		})
	}
	all.Wait()
	if now := get(t, store, job.ID).Trades[0].Crews; now != before+1 {
		t.Fatalf("%d crews, want %d", now, before+1)
	}
	other := e
	other.Print = "another"
	if _, err := add(other); !errors.Is(err, db.ErrKeyUsed) {
		t.Errorf("a key for two requests: %v", err)
	}
	// Another person's key of the same name is another key.
	other = db.Edit{By: db.Author{Name: "bo", Account: uuid.New()}, Key: "crews", Print: "q"}
	if r, err := add(other); err != nil || r != 3 {
		t.Errorf("revision %d, %v", r, err)
	}
	// What changed nothing is remembered too, and undoing counts as any change.
	nothing := db.Edit{By: first.By, Key: "nothing", Print: "n"}
	for range 2 {
		if r, err := store.Change(t.Context(), job.ID, nothing, func(*scheduler.Job) error { return nil }); err != nil || r != 3 {
			t.Errorf("revision %d, %v", r, err)
		}
	}
	undo := db.Edit{By: first.By, Key: "undo", Print: "u"}
	for range 2 {
		if r, err := store.Undo(t.Context(), job.ID, 0, false, undo); err != nil || r != 4 {
			t.Errorf("revision %d, %v", r, err)
		}
	}
	// A refused request leaves no receipt: mended, it may use its key.
	refused := db.Edit{By: first.By, Key: "refused", Print: "r"}
	no := errors.New("no")
	if _, err := store.Change(t.Context(), job.ID, refused, func(*scheduler.Job) error { return no }); !errors.Is(err, no) {
		t.Error(err)
	}
	if r, err := add(refused); err != nil || r != 5 {
		t.Errorf("revision %d, %v", r, err)
	}
}
