package db_test

import (
	"errors"
	"strings"
	"testing"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
	"gaugerod/scheduler/worktime"
)

const studio = scheduler.ID("garden-studio")

// withOps makes a trial of the garden studio with some changes.
func withOps(t *testing.T, store *db.Store, ops ...trial.Op) db.Trial {
	t.Helper()
	made, err := store.MakeTrial(t.Context(), studio, "Cladding late", ops, db.By("ida"))
	if err != nil {
		t.Fatal(err)
	}
	return made
}

func threeCrews() trial.Op { return trial.Op{Crews: &trial.Crews{Trade: "cladding", Crews: 3}} }

func longer() trial.Op {
	return trial.Op{Takes: &trial.Takes{Step: "clad", Takes: worktime.Span{Amount: 9, Unit: worktime.Days}}}
}

func TestATrialIsAdoptedAsOneChange(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	made := withOps(t, store, threeCrews(), longer())
	e := db.By("ida")
	e.Key = "adopt"
	revision, err := store.AdoptTrial(t.Context(), studio, made.Number, made.Version, e)
	if err != nil || revision != 2 {
		t.Fatalf("revision %d, %v", revision, err)
	}
	job := get(t, store, studio)
	for k := range job.Trades {
		if job.Trades[k].ID == "cladding" && job.Trades[k].Crews != 3 {
			t.Errorf("%d crews", job.Trades[k].Crews)
		}
	}
	revisions, err := store.Revisions(t.Context(), studio, 0, 10)
	if err != nil || len(revisions) != 2 {
		t.Fatalf("%d revisions, %v", len(revisions), err)
	}
	note := revisions[0].Note
	if !strings.HasPrefix(note, "adopted trial 1, “Cladding late”: ") || !strings.Contains(note, "can send 3 crews; ") || !strings.HasSuffix(note, " takes 9 days") {
		t.Errorf("the history says %q", note)
	}
	if revisions[1].Note != "" {
		t.Errorf("the first revision says %q", revisions[1].Note)
	}
	kept, err := store.Trial(t.Context(), studio, made.Number)
	if err != nil || kept.Adopted == nil || *kept.Adopted != 2 || kept.Open() {
		t.Errorf("%+v, %v", kept, err)
	}
	// Sent again, because the answer was lost: nothing more happens.
	if again, err := store.AdoptTrial(t.Context(), studio, made.Number, made.Version, e); err != nil || again != 2 {
		t.Errorf("again: revision %d, %v", again, err)
	}
	for name, err := range map[string]error{
		"adopted again": second(store.AdoptTrial(t.Context(), studio, made.Number, 0, db.By("kim"))),
		"changed":       second(store.ChangeTrial(t.Context(), studio, made.Number, 0, db.By("kim"), func(*db.Trial) error { return nil })),
		"thrown away":   store.ThrowTrialAway(t.Context(), studio, made.Number, 0, db.By("kim")),
	} {
		if !errors.Is(err, scheduler.ErrAlready) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func second[T any](_ T, err error) error { return err }

// TestATrialThatNoLongerAppliesChangesNothing: the job has lost since what it speaks of.
func TestATrialThatNoLongerAppliesChangesNothing(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	gone := trial.Op{Pin: &trial.Pin{Step: "clad", NotBefore: new(mustDate("2026-06-01")), By: "ida", Reason: "a try"}}
	made := withOps(t, store, threeCrews(), gone)
	change(t, store, studio, "kim", func(j *scheduler.Job) {
		started := worktime.When{Day: mustDate("2026-04-13")}
		if err := j.Correct(scheduler.Fact{Step: "clad", Started: &started}); err != nil {
			t.Fatal(err)
		}
	})
	_, err := store.AdoptTrial(t.Context(), studio, made.Number, made.Version, db.By("ida"))
	var op *trial.OpError
	if !errors.As(err, &op) || op.At != 1 || !errors.Is(err, scheduler.ErrAlready) {
		t.Fatalf("%v", err)
	}
	if revisions, err := store.Revisions(t.Context(), studio, 0, 10); err != nil || len(revisions) != 2 {
		t.Errorf("%d revisions, %v", len(revisions), err)
	}
	if kept, err := store.Trial(t.Context(), studio, made.Number); err != nil || !kept.Open() {
		t.Errorf("%+v, %v", kept, err)
	}
}

func TestTrialsAreSeenAsTheyStand(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	made := withOps(t, store, threeCrews())
	nothing := func(*db.Trial) error { return nil }
	made, err := store.ChangeTrial(t.Context(), studio, made.Number, made.Version, db.By("ida"), nothing)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := store.ChangeTrial(t.Context(), studio, made.Number, made.Version-1, db.By("ida"), nothing); !errors.Is(err, db.ErrTrialChanged) {
		t.Errorf("changed from an older state: %v", err)
	}
	if _, err := store.AdoptTrial(t.Context(), studio, made.Number, made.Version-1, db.By("ida")); !errors.Is(err, db.ErrTrialChanged) {
		t.Errorf("adopted from an older state: %v", err)
	}
	if err := store.ThrowTrialAway(t.Context(), studio, made.Number, made.Version, db.By("kim")); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Trial(t.Context(), studio, made.Number); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("it is there still: %v", err)
	}
	if all, err := store.Trials(t.Context(), studio); err != nil || len(all) != 0 {
		t.Errorf("%d trials, %v", len(all), err)
	}
	next := withOps(t, store)
	if next.Number != made.Number+1 {
		t.Errorf("the number %d was given after %d", next.Number, made.Number)
	}
	if _, err := store.AdoptTrial(t.Context(), studio, next.Number, 0, db.By("ida")); !errors.Is(err, scheduler.ErrIncomplete) {
		t.Errorf("one without changes: %v", err)
	}
	for name, err := range map[string]error{
		"no such trial": second(store.Trial(t.Context(), studio, 99)),
		"no such job":   second(store.Trials(t.Context(), "nowhere")),
		"made nowhere":  second(store.MakeTrial(t.Context(), "nowhere", "x", nil, db.By("ida"))),
	} {
		if !errors.Is(err, scheduler.ErrNotFound) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestATrialIsMadeOnceAndNotWithoutEnd(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	e := db.By("ida")
	e.Key = "make"
	first, err := store.MakeTrial(t.Context(), studio, "One", nil, e)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := store.MakeTrial(t.Context(), studio, "One", nil, e); err != nil || again.Number != first.Number {
		t.Errorf("trial %d, %v", again.Number, err)
	}
	for range 19 {
		withOps(t, store)
	}
	if _, err := store.MakeTrial(t.Context(), studio, "Too many", nil, db.By("ida")); !errors.Is(err, scheduler.ErrImpossible) {
		t.Errorf("%v", err)
	}
}

// TestARequestToATrialCountsOnce: sent again because the answer was lost, it does
// nothing; another request under the same key is refused.
func TestARequestToATrialCountsOnce(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	made := withOps(t, store, threeCrews())
	e := db.By("ida")
	e.Key, e.Print = "add", "one"
	add := func(tr *db.Trial) error { tr.Ops = append(tr.Ops, longer()); return nil }
	first, err := store.ChangeTrial(t.Context(), studio, made.Number, made.Version, e, add)
	if err != nil || len(first.Ops) != 2 {
		t.Fatalf("%+v, %v", first, err)
	}
	if again, err := store.ChangeTrial(t.Context(), studio, made.Number, made.Version, e, add); err != nil || len(again.Ops) != 2 || again.Version != first.Version {
		t.Errorf("again: %+v, %v", again, err)
	}
	e.Print = "two"
	if _, err := store.ChangeTrial(t.Context(), studio, made.Number, 0, e, add); !errors.Is(err, db.ErrKeyUsed) {
		t.Errorf("another request: %v", err)
	}
	if _, err := store.MakeTrial(t.Context(), studio, "Two", nil, e); !errors.Is(err, db.ErrKeyUsed) {
		t.Errorf("made under the same key: %v", err)
	}
	e.Key = "away"
	if err := store.ThrowTrialAway(t.Context(), studio, made.Number, made.Version, e); !errors.Is(err, db.ErrTrialChanged) {
		t.Errorf("thrown away as it was seen before: %v", err)
	}
	for range 2 {
		if err := store.ThrowTrialAway(t.Context(), studio, made.Number, first.Version, e); err != nil {
			t.Errorf("thrown away: %v", err)
		}
	}
}
