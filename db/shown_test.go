package db_test

import (
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/db"
	"gaugerod/scheduler"
)

func TestWhatCalendarsWereShown(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	shown := func(trade scheduler.ID) []db.ShownWindow {
		t.Helper()
		all, err := store.Shown(t.Context(), "garden-studio", trade)
		if err != nil {
			t.Fatal(err)
		}
		return all
	}
	if all := shown("cladding"); len(all) != 0 {
		t.Fatalf("shown already: %v", all)
	}
	w := db.ShownWindow{
		UID: "a@garden-studio.gaugerod", Steps: []scheduler.ID{"clad", "paint-inside"}, Place: "wall-north", Sequence: 3, ChangedAt: noon(),
		From: noon(), Until: noon().Add(time.Hour), Summary: "Cladding", Words: "Two lines\nof it", Cancelled: true,
	}
	show := func(revision int64, w ...db.ShownWindow) {
		t.Helper()
		got, err := store.Show(t.Context(), "garden-studio", "cladding", revision, func([]db.ShownWindow, time.Time) []db.ShownWindow { return w })
		if err != nil || len(got) != len(w) {
			t.Fatal(got, err)
		}
	}
	show(2, w)
	if d := cmp.Diff([]db.ShownWindow{w}, shown("cladding"), cmp.Comparer(time.Time.Equal)); d != "" {
		t.Errorf("it came back otherwise:\n%s", d)
	}
	if all := shown("framing"); len(all) != 0 {
		t.Errorf("another trade has %v", all)
	}
	older := w
	older.Summary = "Of an older revision"
	show(1, older)
	if got := shown("cladding")[0].Summary; got != "Cladding" {
		t.Errorf("an older revision is kept over a newer one: %q", got)
	}
}

// TestCalendarsAskedAtOnce: each of many who ask at once counts on from the last.
func TestCalendarsAskedAtOnce(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	const many = 12
	var all sync.WaitGroup
	for range many {
		all.Go(func() {
			_, err := store.Show(t.Context(), "garden-studio", "cladding", 1, func(kept []db.ShownWindow, at time.Time) []db.ShownWindow {
				w := db.ShownWindow{UID: "a", Place: "house", ChangedAt: at, From: at, Until: at}
				if len(kept) == 1 {
					w.Sequence = kept[0].Sequence + 1
				}
				return []db.ShownWindow{w}
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	kept, err := store.Shown(t.Context(), "garden-studio", "cladding")
	if err != nil || len(kept) != 1 || kept[0].Sequence != many-1 {
		t.Errorf("%v, %v", kept, err)
	}
}
