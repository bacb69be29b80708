package db_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5/pgconn"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// handPlan is a plan of the garden studio with one window, written by hand.
func handPlan() *scheduler.Plan {
	zone := time.FixedZone("", 2*60*60)
	at := func(day, hour int) time.Time { return time.Date(2026, 5, day, hour, 0, 0, 0, zone) }
	return &scheduler.Plan{
		Job: "garden-studio", Title: "By hand", AsOf: at(1, 0), Finish: at(20, 16),
		Windows: []scheduler.Window{{
			ID: "cladding.wall-north.clad", Trade: "cladding", Place: "wall-north", Steps: []scheduler.ID{"clad"}, From: at(11, 8), Until: at(13, 16),
		}},
	}
}

func issue() scheduler.Issue {
	return scheduler.Issue{On: mustDate("2026-05-02"), By: "ida", Note: "As agreed."}
}

func TestIssueKeepsThePlanAsItWas(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	letter, revision, err := store.Issue(t.Context(), "garden-studio", db.By("ida"), handPlan(), issue())
	if err != nil || letter != "B" || revision != 2 {
		t.Fatalf("letter %q, revision %d, %v", letter, revision, err)
	}
	change(t, store, "garden-studio", "kim", func(j *scheduler.Job) { j.Title = "Another title" })
	kept, err := store.IssuedPlan(t.Context(), "garden-studio", "B")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(&db.IssuedPlan{Letter: "B", Revision: 2, MadeAt: noon(), By: "ida", Plan: handPlan()}, kept); d != "" {
		t.Errorf("it came back otherwise (-want +got):\n%s", d)
	}
	job := get(t, store, "garden-studio")
	want := []scheduler.Promise{{
		Window: "cladding.wall-north.clad", Trade: "cladding", Place: "wall-north", Steps: []scheduler.ID{"clad"},
		From: mustDate("2026-05-11"), Until: mustDate("2026-05-13"), Letter: "B",
	}}
	if d := cmp.Diff(want, job.Promises, same); d != "" || job.LastIssue().AsOf != mustDate("2026-05-01") {
		t.Errorf("as of %s; promises (-want +got):\n%s", job.LastIssue().AsOf, d)
	}
	// The issue that came with the file has no plan here.
	if _, err := store.IssuedPlan(t.Context(), "garden-studio", "A"); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("issue A: %v", err)
	}
}

// TestUndoGoesPastAnIssue: what was done before a plan was sent out can be undone
// still, where the issue does not rest on it.
func TestUndoGoesPastAnIssue(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	change(t, store, "garden-studio", "ida", func(j *scheduler.Job) { j.Tasks[0].Note = "Another note" })
	if _, _, err := store.Issue(t.Context(), "garden-studio", db.By("ida"), handPlan(), issue()); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Undo(t.Context(), "garden-studio", 0, false, db.By("ida")); err != nil {
		t.Fatal(err)
	}
	if job := get(t, store, "garden-studio"); job.Tasks[0].Note == "Another note" || len(job.Issues) != 2 {
		t.Errorf("note %q, %d issues", job.Tasks[0].Note, len(job.Issues))
	}
}

func TestTheSameIssueAskedForTwice(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	once := db.Edit{By: db.By("ida").By, At: 1, Key: "k1", Print: "p"}
	for range 2 {
		letter, revision, err := store.Issue(t.Context(), "garden-studio", once, handPlan(), issue())
		if err != nil || letter != "B" || revision != 2 {
			t.Errorf("letter %q, revision %d, %v", letter, revision, err)
		}
	}
}

func TestAnIssueThatIsRefusedLeavesNothing(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	nobody := issue()
	nobody.By = ""
	if _, _, err := store.Issue(t.Context(), "garden-studio", db.By("ida"), handPlan(), nobody); !errors.Is(err, scheduler.ErrIncomplete) {
		t.Errorf("by nobody: %v", err)
	}
	late := db.By("ida")
	late.At = 7
	if _, _, err := store.Issue(t.Context(), "garden-studio", late, handPlan(), issue()); !errors.Is(err, db.ErrStale) {
		t.Errorf("from another revision: %v", err)
	}
	if _, err := store.IssuedPlan(t.Context(), "garden-studio", "B"); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("a plan is there: %v", err)
	}
	if job := get(t, store, "garden-studio"); len(job.Issues) != 1 {
		t.Errorf("%d issues", len(job.Issues))
	}
}

// TestWhatWasSentOutStands tries to take away or alter an issue by every way that
// there is.
func TestWhatWasSentOutStands(t *testing.T) {
	t.Parallel()
	store, conn := at(t, dbtest.Address(t))
	put(t, store, everyFeature(t))
	if _, _, err := store.Issue(t.Context(), "garden-studio", db.By("ida"), handPlan(), issue()); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(*scheduler.Job){
		"taken away": func(j *scheduler.Job) {
			j.Issues = j.Issues[:1]
			j.Promises = nil
		},
		"all taken away":  func(j *scheduler.Job) { j.Issues, j.Promises = nil, nil },
		"its note":        func(j *scheduler.Job) { j.Issues[1].Note = "Never agreed." },
		"its day":         func(j *scheduler.Job) { j.Issues[1].On++ },
		"the older one":   func(j *scheduler.Job) { j.Issues[0].By = "kim" },
		"its as-of day":   func(j *scheduler.Job) { j.Issues[0].AsOf-- },
		"who sent it out": func(j *scheduler.Job) { j.Issues[1].By = "bo" },
	} {
		wantStands := func(how string, err error) {
			t.Helper()
			refusal, ok := errors.AsType[*scheduler.Refusal](err)
			if !ok || refusal.Field != "issues" || !strings.Contains(refusal.What, "has been sent out") {
				t.Errorf("%s, %s: %v", name, how, err)
			}
		}
		_, err := store.Change(t.Context(), "garden-studio", db.By("kim"), func(j *scheduler.Job) error { spoil(j); return nil })
		wantStands("by a change", err)
		whole := get(t, store, "garden-studio")
		spoil(whole)
		_, err = store.Put(t.Context(), whole, db.By("kim"))
		wantStands("by a whole file", err)
	}
	if _, revision, err := store.Job(t.Context(), "garden-studio"); err != nil || revision != 2 {
		t.Errorf("revision %d, %v", revision, err)
	}
	if _, err := store.Undo(t.Context(), "garden-studio", 2, false, db.By("kim")); !errors.Is(err, scheduler.ErrImpossible) {
		t.Errorf("undone: %v", err)
	}
	for trigger, sql := range map[string]string{
		"issued_plan_stands": `UPDATE issued_plan SET plan = '{}'`,
		"issued_plan_stays":  `TRUNCATE issued_plan`,
		"issue_stands":       `UPDATE issue SET note = 'Never agreed.'`,
	} {
		_, err := conn.Exec(t.Context(), sql)
		var refused *pgconn.PgError
		if !errors.As(err, &refused) || refused.ConstraintName != trigger {
			t.Errorf("%s: %v", sql, err)
		}
	}
	for _, sql := range []string{`DELETE FROM issued_plan`, `DELETE FROM issue`} {
		if _, err := conn.Exec(t.Context(), sql); err == nil {
			t.Errorf("%s: nothing stops it", sql)
		}
	}
	// A change of something else goes on.
	change(t, store, "garden-studio", "kim", func(j *scheduler.Job) { j.Promises = nil })
}

func mustDate(s string) (d worktime.Date) {
	if err := d.UnmarshalText([]byte(s)); err != nil {
		panic(err)
	}
	return d
}
