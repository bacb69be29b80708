package db_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
)

// wantGapless checks that every revision has its lines, numbered without a gap and
// all of one time and person, and that the history of each thing fits together.
func wantGapless(t *testing.T, lines []db.HistoryLine, newest int64) {
	t.Helper()
	type thing struct{ kind, key string }
	is := map[thing]string{}
	heads := map[int64]string{}
	for _, l := range slices.Backward(lines) {
		if head := l.At.String() + l.Who; heads[l.Revision] == "" {
			heads[l.Revision] = head
		} else if heads[l.Revision] != head {
			t.Errorf("revision %d has two times or persons", l.Revision)
		}
		about := thing{l.Kind, l.Key}
		if is[about] != string(l.Was) && !strings.Contains(string(l.Is), "arranged anew") {
			t.Errorf("revision %d: %s %s was %s, but the line before it says %s", l.Revision, l.Kind, l.Key, l.Was, is[about])
		}
		is[about] = string(l.Is)
	}
	for r := int64(1); r <= newest; r++ {
		if heads[r] == "" {
			t.Errorf("revision %d of %d has no line", r, newest)
		}
	}
	if len(heads) != int(newest) {
		t.Errorf("%d revisions in the history, want %d", len(heads), newest)
	}
}

func TestHistoryOfRandomChangesFitsTogether(t *testing.T) {
	store := open(t)
	var before *scheduler.Job
	for seed := range uint64(25) {
		job := inPlaceOf(randomjob.New(seed/2, randomjob.Size{Steps: 30}), before)
		before = job
		if seed%2 == 1 { // the same once more, in another order and without its facts
			job.Facts, job.Waivers = nil, nil
			for k := range len(job.People) / 2 {
				o := len(job.People) - 1 - k
				job.People[k], job.People[o] = job.People[o], job.People[k]
			}
		}
		job.ID = "random"
		put(t, store, job)
		if d := cmp.Diff(job, get(t, store, job.ID), same); d != "" {
			t.Fatalf("seed %d came back otherwise:\n%s", seed, d)
		}
	}
	_, revision, err := store.Job(t.Context(), "random")
	if err != nil {
		t.Fatal(err)
	}
	lines, err := store.History(t.Context(), "random", 0, 100_000)
	if err != nil {
		t.Fatal(err)
	}
	wantGapless(t, lines, revision)
}

func TestMereOrderIsKeptAndTold(t *testing.T) {
	store := open(t)
	job := everyFeature(t)
	put(t, store, job)
	swap := func(j *scheduler.Job) { j.Trades[0], j.Trades[1] = j.Trades[1], j.Trades[0] }
	revision := change(t, store, job.ID, "kim", swap)
	swap(job)
	if d := cmp.Diff(job, get(t, store, job.ID), same); d != "" {
		t.Errorf("came back otherwise:\n%s", d)
	}
	lines, err := store.History(t.Context(), job.ID, 0, 1)
	if err != nil || len(lines) != 1 || lines[0].Revision != revision || lines[0].Kind != "job" {
		t.Errorf("the history says %v (%v), want one line about the job", lines, err)
	}
}

func TestHistoryLines(t *testing.T) {
	t.Parallel()
	clock := noon()
	store := dbtest.Open(t, func() time.Time { clock = clock.Add(time.Minute); return clock })
	job := everyFeature(t)
	put(t, store, job)
	change(t, store, job.ID, "kim", func(j *scheduler.Job) {
		j.Tasks[0].Gear = nil
		j.Facts = j.Facts[:len(j.Facts)-1]
	})
	lines, err := store.History(t.Context(), job.ID, 0, 2)
	if err != nil {
		t.Fatal(err)
	}
	want := []db.HistoryLine{
		{
			Revision: 2, At: noon().Add(2 * time.Minute), Who: "kim", Kind: "task", Key: "frame",
			Was: []byte(`{"dry": true, "gear": ["lift"], "note": "Bracing as the engineer writes it.", "step": "frame", "alone": false, "crews": 1, "takes": "6 days", "title": "Frame and brace the walls", "places": ["house"], "trades": ["framing"], "at_best": "5 days", "at_worst": "9 days", "cautions": ["structure", "height", "temporary support"], "wind_below": 9, "min_temperature": -10}`),
			Is:  []byte(`{"dry": true, "note": "Bracing as the engineer writes it.", "step": "frame", "alone": false, "crews": 1, "takes": "6 days", "title": "Frame and brace the walls", "places": ["house"], "trades": ["framing"], "at_best": "5 days", "at_worst": "9 days", "cautions": ["structure", "height", "temporary support"], "wind_below": 9, "min_temperature": -10}`),
		},
		{
			Revision: 2, At: noon().Add(2 * time.Minute), Who: "kim", Kind: "fact", Key: "sill-height",
			Was: []byte(`{"by": "kim", "note": "Eight millimetres high", "step": "sill-height", "measured": 908, "refused_day": "2026-04-10"}`),
		},
	}
	if d := cmp.Diff(want, lines); d != "" {
		t.Errorf("the history (-want +got):\n%s", d)
	}
	heads, err := store.Jobs(t.Context())
	if d := cmp.Diff([]db.JobHead{{ID: job.ID, Title: job.Title, Revision: 2, Changed: noon().Add(2 * time.Minute)}}, heads); err != nil || d != "" {
		t.Errorf("the list of jobs (%v):\n%s", err, d)
	}
}
