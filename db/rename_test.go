package db_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// beside is what is kept beside the job and speaks of it.
type beside struct {
	Attached         int
	Person           scheduler.ID
	LinkOf           scheduler.ID
	ShownTo, ShownAt scheduler.ID
	ShownSteps       []scheduler.ID
	Ops              []trial.Op
}

// besideOf reads it; step, trade and its links are looked for by the names given.
func besideOf(t *testing.T, store *db.Store, step, trade scheduler.ID) (b beside) {
	t.Helper()
	ctx := t.Context()
	attached, err := store.Attachments(ctx, studio, step)
	if err != nil {
		t.Fatal(err)
	}
	b.Attached = len(attached)
	sitters, err := store.Sitters(ctx, studio)
	if err != nil || len(sitters) != 1 {
		t.Fatal(sitters, err)
	}
	b.Person = sitters[0].Person
	links, err := store.TradeLinks(ctx, studio)
	if err != nil || len(links) != 1 {
		t.Fatal(links, err)
	}
	b.LinkOf = links[0].Trade
	shown, err := store.Shown(ctx, studio, trade)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range shown {
		b.ShownTo, b.ShownAt, b.ShownSteps = trade, w.Place, w.Steps
	}
	trials, err := store.Trials(ctx, studio)
	if err != nil || len(trials) != 1 {
		t.Fatal(trials, err)
	}
	b.Ops = trials[0].Ops
	return b
}

// TestRenameCarriesWhatIsKeptBesideTheJob gives a step, a trade, a place, a person and a
// build-up other names, and takes all of it back.
func TestRenameCarriesWhatIsKeptBesideTheJob(t *testing.T) {
	store := open(t)
	ctx := t.Context()
	put(t, store, everyFeature(t))
	if _, err := store.Attach(ctx, studio, photo("sill.jpg"), []byte("one"), roomy); err != nil {
		t.Fatal(err)
	}
	if _, err := store.AddAccount(ctx, "Kim", "", db.Seat{Job: studio, Role: scheduler.SiteLead, Person: "kim"}); err != nil {
		t.Fatal(err)
	}
	if _, err := store.AddTradeLink(ctx, db.TradeLink{Job: studio, Trade: "cladding", Label: "Their foreman", By: "ida"}, db.Hash{1}, db.Hash{2}, time.Hour); err != nil {
		t.Fatal(err)
	}
	w := db.ShownWindow{UID: "a", Steps: []scheduler.ID{"frame", "gone"}, Place: "wall-north", ChangedAt: noon(), From: noon(), Until: noon()}
	if _, err := store.Show(ctx, studio, "cladding", 1, func([]db.ShownWindow, time.Time) []db.ShownWindow { return []db.ShownWindow{w} }); err != nil {
		t.Fatal(err)
	}
	pin := trial.Op{Pin: &trial.Pin{Step: "frame", By: "kim", Reason: "R", NotBefore: new(mustDate("2026-05-04"))}}
	layer := trial.Op{Layer: &trial.Layer{BuildUp: "wall-skin", Layer: "cladding"}}
	withOps(t, store, threeCrews(), pin, layer)
	before, job := besideOf(t, store, "frame", "cladding"), get(t, store, studio)

	renames := []struct {
		thing scheduler.Named
		to    scheduler.ID
	}{
		{scheduler.Named{Kind: scheduler.TaskName, ID: "frame"}, "carcass"},
		{scheduler.Named{Kind: scheduler.TradeName, ID: "cladding"}, "weatherboarders"},
		{scheduler.Named{Kind: scheduler.PlaceName, ID: "wall-north"}, "north"},
		{scheduler.Named{Kind: scheduler.PersonName, ID: "kim"}, "kim-example"},
		{scheduler.Named{Kind: scheduler.BuildUpName, ID: "wall-skin"}, "skin"},
	}
	for k, r := range renames {
		if revision, err := store.Rename(ctx, studio, db.By("ida"), r.thing, r.to); err != nil || revision != int64(k+2) {
			t.Fatalf("%+v: %d, %v", r.thing, revision, err)
		}
	}
	pin.Pin.Step, pin.Pin.By, layer.Layer.BuildUp = "carcass", "kim-example", "skin"
	crews := threeCrews()
	crews.Crews.Trade = "weatherboarders"
	want := beside{
		Attached: 1, Person: "kim-example", LinkOf: "weatherboarders", ShownTo: "weatherboarders", ShownAt: "north",
		ShownSteps: []scheduler.ID{"carcass", "gone"}, Ops: []trial.Op{crews, pin, layer},
	}
	if d := cmp.Diff(want, besideOf(t, store, "carcass", "weatherboarders")); d != "" {
		t.Errorf("after the renaming (-want +got): %s", d)
	}
	for range renames {
		if _, err := store.Undo(ctx, studio, 0, false, db.By("ida")); err != nil {
			t.Fatal(err)
		}
	}
	if d := cmp.Diff(before, besideOf(t, store, "frame", "cladding")); d != "" {
		t.Errorf("undone (-want +got): %s", d)
	}
	if d := cmp.Diff(job, get(t, store, studio), same); d != "" {
		t.Errorf("the job undone (-want +got): %s", d)
	}
	if _, err := store.Undo(ctx, studio, int64(2*len(renames)+1), false, db.By("ida")); err != nil { // the undoing undone
		t.Fatal(err)
	}
	if b := besideOf(t, store, "carcass", "cladding"); b.Attached != 1 {
		t.Error("the attachment was left behind")
	}
}

// TestWhatWasSentOutKeepsItsNames refuses other names for what an issued plan speaks of,
// and allows them for the rest.
func TestWhatWasSentOutKeepsItsNames(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	plan := handPlan()
	plan.Steps = []scheduler.PlannedStep{{ID: "clad", Trades: []scheduler.ID{"cladding"}, Places: []scheduler.ID{"wall-north"}}}
	if _, _, err := store.Issue(t.Context(), studio, db.By("ida"), plan, issue()); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		thing scheduler.Named
		stays bool
	}{
		{scheduler.Named{Kind: scheduler.TaskName, ID: "clad"}, true},
		{scheduler.Named{Kind: scheduler.TradeName, ID: "cladding"}, true},
		{scheduler.Named{Kind: scheduler.PlaceName, ID: "wall-north"}, true},
		{scheduler.Named{Kind: scheduler.TaskName, ID: "frame"}, false},
		{scheduler.Named{Kind: scheduler.PersonName, ID: "kim"}, false},
	} {
		before := get(t, store, studio)
		_, err := store.Rename(t.Context(), studio, db.By("ida"), c.thing, "another")
		if c.stays && (!errors.Is(err, scheduler.ErrImpossible) || !strings.Contains(err.Error(), "issue B")) || !c.stays && err != nil {
			t.Errorf("%+v: %v", c.thing, err)
		}
		if d := cmp.Diff(before, get(t, store, studio), same); (d == "") != c.stays {
			t.Errorf("%+v: %s", c.thing, d)
		}
	}
}

// TestWhatATrialPutsKeepsItsNames: the words of a job file in a trial are not looked through
// for names, so nothing that they speak of is renamed.
func TestWhatATrialPutsKeepsItsNames(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	withOps(t, store, trial.Op{Put: &trial.Put{Path: []string{"dues", "new"}, Text: "{title: T, step: frame, on: 2026-09-01}"}})
	for thing, stays := range map[scheduler.ID]bool{"frame": true, "clad": false} {
		_, err := store.Rename(t.Context(), studio, db.By("ida"), scheduler.Named{Kind: scheduler.TaskName, ID: thing}, "another-"+thing)
		if stays != errors.Is(err, scheduler.ErrImpossible) || !stays && err != nil {
			t.Errorf("%s: %v", thing, err)
		}
	}
}

// TestRenameKnowsEveryColumnOfNames asks the catalogue for the columns beside a job that
// hold names: Rename has to know each.
func TestRenameKnowsEveryColumnOfNames(t *testing.T) {
	t.Parallel()
	_, conn := at(t, dbtest.Address(t))
	rows, err := conn.Query(t.Context(), `
		SELECT table_name || '.' || column_name FROM information_schema.columns
		WHERE table_schema = 'public' AND domain_name IN ('short_name', 'step_ref') AND column_name <> 'job' AND table_name = ANY ($1)
		ORDER BY 1`, db.BesideJob)
	if err != nil {
		t.Fatal(err)
	}
	columns, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	if want := []string{"attachment.step", "seat.person", "shown_window.place", "shown_window.trade", "trade_link.trade"}; !slices.Equal(columns, want) {
		t.Errorf("%v, want %v", columns, want)
	}
}
