package db_test

import (
	"bytes"
	"context"
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
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

func export(t *testing.T, store *db.Store) []byte {
	t.Helper()
	var b bytes.Buffer
	if _, err := store.Export(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// lived is a store with jobs that have a history, plans, and one that was sent out.
func lived(t *testing.T, store *db.Store) []*scheduler.Job {
	t.Helper()
	put(t, store, everyFeature(t))
	put(t, store, readFile(t, "../testdata/demo.job.yaml"))
	if _, _, err := store.Issue(t.Context(), "garden-studio", db.By("ida"), handPlan(), issue()); err != nil {
		t.Fatal(err)
	}
	_, err := store.Show(t.Context(), "garden-studio", "cladding", 2, func(_ []db.ShownWindow, at time.Time) []db.ShownWindow {
		return []db.ShownWindow{{UID: "a", Place: "house", ChangedAt: at, From: at, Until: at}}
	})
	if err != nil {
		t.Fatal(err)
	}
	change(t, store, "garden-studio", "kim", func(j *scheduler.Job) { j.Title = "Garden studio “ß” \\ \U0001F332" })
	change(t, store, "garden-studio", "kim", func(j *scheduler.Job) { j.Tasks = append(j.Tasks, newTask("more")) })
	change(t, store, "garden-studio", "kim", func(j *scheduler.Job) {
		for _, alert := range []string{"Zinc is late", "asphalt is late"} { // in this order by their bytes alone
			j.Asides = append(j.Asides, scheduler.Aside{Alert: alert, By: j.People[0].ID, On: worktime.NewDate(2026, 4, 13), Reason: "known"})
		}
	})
	change(t, store, "slope-house", "ida", func(j *scheduler.Job) { j.Tasks[0].Note = "seen" })
	jobs := []*scheduler.Job{get(t, store, "garden-studio"), get(t, store, "slope-house")}
	for _, job := range jobs {
		_, revision, err := store.Job(t.Context(), job.ID)
		if err != nil {
			t.Fatal(err)
		}
		day, plan := planned(t, job)
		if _, _, err := store.SavePlan(t.Context(), db.PlanOf{Job: job.ID, Revision: revision, AsOf: day}, db.Pack(plan), true); err != nil {
			t.Fatal(err)
		}
	}
	return jobs
}

func planned(t *testing.T, job *scheduler.Job) (worktime.Date, *scheduler.Plan) {
	t.Helper()
	day := worktime.NewDate(2026, 4, 13)
	plan, err := planner.Plan(t.Context(), job, planner.Options{AsOf: &day})
	if err != nil {
		t.Fatal(err)
	}
	return day, plan
}

func TestArchiveGivesBackEverything(t *testing.T) {
	store := open(t)
	jobs := lived(t, store)
	written := export(t, store)
	if again := export(t, store); !bytes.Equal(written, again) {
		t.Error("two archives of one state differ")
	}

	other := dbtest.Open(t, noon)
	manifest, err := other.Import(t.Context(), bytes.NewReader(written))
	if err != nil {
		t.Fatal(err)
	}
	if manifest.Rows("job") != 2 || manifest.Rows("change") == 0 || manifest.Rows("plan") != 2 {
		t.Errorf("the manifest counts %+v", manifest)
	}
	if again := export(t, other); !bytes.Equal(written, again) {
		t.Error("an archive of what was imported differs")
	}
	for _, job := range jobs {
		got := get(t, other, job.ID)
		if d := cmp.Diff(job, got, same); d != "" {
			t.Errorf("%s came back otherwise:\n%s", job.ID, d)
		}
		_, was := planned(t, job)
		day, is := planned(t, got)
		if d := cmp.Diff(was, is, same); d != "" {
			t.Errorf("%s is planned otherwise:\n%s", job.ID, d)
		}
		_, revision, err := other.Job(t.Context(), job.ID)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := other.LoadPlan(t.Context(), db.PlanOf{Job: job.ID, Revision: revision, AsOf: day}); err != nil {
			t.Error(err)
		}
		lines, err := other.History(t.Context(), job.ID, 0, 100_000)
		if err != nil {
			t.Fatal(err)
		}
		wantGapless(t, lines, revision)
		if job.ID == "garden-studio" {
			sent, err := other.IssuedPlan(t.Context(), job.ID, job.Issues[len(job.Issues)-1].Letter)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(handPlan(), sent.Plan, same); d != "" {
				t.Errorf("what was sent out came back otherwise:\n%s", d)
			}
		}
		// And it goes on from there.
		if next := change(t, other, job.ID, "kim", func(j *scheduler.Job) { j.Title += " II" }); next != revision+1 {
			t.Errorf("%s: the next revision is %d after %d", job.ID, next, revision)
		}
		for range 2 { // what was done before the archive can be undone after it
			if _, err := other.Undo(t.Context(), job.ID, 0, false, db.Edit{By: db.Author{Name: "kim"}}); err != nil {
				t.Errorf("%s: undo: %v", job.ID, err)
			}
		}
	}
}

// Another clock, and another collation of the database, change nothing but the time.
func TestArchiveIsTheSameEverywhere(t *testing.T) {
	store := open(t)
	lived(t, store)
	written := export(t, store)
	later := func() time.Time { return noon().Add(time.Hour) }
	other, err := db.Open(t.Context(), collated(t), later)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(other.Close)
	if err := other.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := other.Import(t.Context(), bytes.NewReader(written)); err != nil {
		t.Fatal(err)
	}
	was, is := unpacked(t, written), unpacked(t, export(t, other))
	for k := range was {
		if k == 0 {
			a, b := manifestOf(t, was), manifestOf(t, is)
			if !a.Made.Equal(noon()) || !b.Made.Equal(later()) {
				t.Errorf("made %s and %s", a.Made, b.Made)
			}
			b.Made = a.Made
			if d := cmp.Diff(a, b); d != "" {
				t.Errorf("the manifests differ:\n%s", d)
			}
			continue
		}
		if was[k] != is[k] {
			t.Errorf("%s differs:\n%s", was[k].name, cmp.Diff(was[k].text, is[k].text))
		}
	}
}

// collated is the address of a database that sorts words as a dictionary does and not
// by their bytes.
func collated(t *testing.T) string {
	t.Helper()
	address := dbtest.Empty(t)
	config, err := pgx.ParseConfig(strings.Replace(address, "&pool_max_conns=6", "", 1))
	if err != nil {
		t.Fatal(err)
	}
	conn, err := pgx.ConnectConfig(t.Context(), config)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	name := config.Database + "_en"
	_, err = conn.Exec(t.Context(), `CREATE DATABASE `+name+` TEMPLATE template0 LOCALE_PROVIDER icu ICU_LOCALE 'en-US'`)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Replace(address, "/"+config.Database+"?", "/"+name+"?", 1)
}

// meddling changes the job when the first bytes are written.
type meddling struct {
	bytes.Buffer
	do func()
}

func (m *meddling) Write(b []byte) (int, error) {
	if m.do != nil {
		m.do()
		m.do = nil
	}
	return m.Buffer.Write(b)
}

func TestArchiveIsOfOneState(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	want := export(t, store)
	got := meddling{do: func() {
		change(t, store, "garden-studio", "kim", func(j *scheduler.Job) { j.Title = "Meanwhile" })
	}}
	if _, err := store.Export(t.Context(), &got); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(want, got.Bytes()) {
		t.Error("what was changed while it was written is in it by half")
	}
	if get(t, store, "garden-studio").Title != "Meanwhile" {
		t.Error("nothing was changed while it was written")
	}
}

func TestArchiveThatCannotBeWritten(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	full := errors.New("no room")
	if _, err := store.Export(t.Context(), failing{full}); !errors.Is(err, full) {
		t.Errorf("the error is %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := store.Export(ctx, &bytes.Buffer{}); !errors.Is(err, context.Canceled) {
		t.Errorf("the error is %v", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestImportWantsAnEmptyDatabase(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	written := export(t, store)
	if _, err := store.Import(t.Context(), bytes.NewReader(written)); !errors.Is(err, db.ErrNotEmpty) {
		t.Errorf("the error is %v", err)
	}
	if again := export(t, store); !bytes.Equal(written, again) {
		t.Error("something has changed all the same")
	}
}

// TestEveryTableHasAPlaceInTheArchive holds the lists against the catalogue.
func TestEveryTableHasAPlaceInTheArchive(t *testing.T) {
	t.Parallel()
	_, conn := at(t, dbtest.Address(t))
	rows, err := conn.Query(t.Context(), `SELECT relname::text FROM pg_class WHERE relkind IN ('r', 'p') AND relnamespace = 'public'::regnamespace`)
	if err != nil {
		t.Fatal(err)
	}
	there, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	archived := db.ArchivedNames()
	for _, name := range there {
		reason, left := db.LeftOut[name]
		if left == slices.Contains(archived, name) {
			t.Errorf("put the table %s either into the list of archived tables or, with the reason, into that of those left out (db/archive_table.go)", name)
		}
		if left && reason == "" {
			t.Errorf("the table %s is left out without a reason", name)
		}
	}
	for name := range db.LeftOut {
		if !slices.Contains(there, name) {
			t.Errorf("there is no table %s to leave out", name)
		}
	}
}

// TestArchivedTablesCanBeReadInTheirOrder asks of the schema what reading an archive
// rests on.
func TestArchivedTablesCanBeReadInTheirOrder(t *testing.T) {
	t.Parallel()
	_, conn := at(t, dbtest.Address(t))
	archived := db.ArchivedNames()
	rows, err := conn.Query(t.Context(), `
		SELECT conname::text, f.relname::text, t.relname::text, condeferrable
		FROM pg_constraint JOIN pg_class f ON f.oid = conrelid JOIN pg_class t ON t.oid = confrelid
		WHERE contype = 'f' AND connamespace = 'public'::regnamespace`)
	if err != nil {
		t.Fatal(err)
	}
	var name, from, to string
	var later bool
	_, err = pgx.ForEachRow(rows, []any{&name, &from, &to, &later}, func() error {
		at, of := slices.Index(archived, from), slices.Index(archived, to)
		switch {
		case at < 0: // left out
		case of < 0:
			t.Errorf("%s: %s is archived and refers to %s, which is not", name, from, to)
		case of > at && !later:
			t.Errorf("%s: %s has to come after %s in the archive", name, from, to)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	rows, err = conn.Query(t.Context(), `
		SELECT relname || '.' || attname FROM pg_attribute JOIN pg_class r ON r.oid = attrelid
		WHERE attnum > 0 AND relname = ANY ($1) AND relnamespace = 'public'::regnamespace AND NOT attisdropped
			AND pg_get_serial_sequence(format('public.%I', relname), attname) IS NOT NULL`, archived)
	if err != nil {
		t.Fatal(err)
	}
	if counted, err := pgx.CollectRows(rows, pgx.RowTo[string]); err != nil || len(counted) > 0 {
		t.Errorf("numbers that Postgres gives would begin anew after an import: %v (%v)", counted, err)
	}
}

// A column of json keeps what is between the words, ends of lines too.
func TestArchiveOfRowsWithEndsOfLines(t *testing.T) {
	t.Parallel()
	store, conn := at(t, dbtest.Address(t))
	put(t, store, everyFeature(t))
	if _, err := conn.Exec(t.Context(), `UPDATE revision SET delta = E'{"of": "<a> & b",\n\r\n "more": [1.50,\n2]}'`); err != nil {
		t.Fatal(err)
	}
	written := export(t, store)
	other := dbtest.Open(t, noon)
	if _, err := other.Import(t.Context(), bytes.NewReader(written)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(written, export(t, other)) {
		t.Error("came back otherwise")
	}
}
