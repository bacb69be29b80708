package fleet

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"testing"

	"github.com/jackc/pgx/v5"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

// look checks what is left when all is over.
func (f *fleet) look(t *testing.T, store *db.Store, jobs []scheduler.ID, clients []*client, tally *tally) {
	t.Helper()
	if len(tally.writes) == 0 {
		t.Error("nothing has been written")
	}
	for _, body := range tally.wrong {
		t.Errorf("answered as an error that nobody foresaw: %s", body)
	}
	conn, err := pgx.Connect(t.Context(), f.postgres.address())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	for _, id := range jobs {
		f.lookAtHistory(t, conn, id, tally)
		f.lookAtPlan(t, store, conn, id, clients[0])
	}
	f.lookAtClients(t, store, clients)
}

// lookAtHistory asks that every revision is there once, and every change once, in
// the revision that was acknowledged for it.
func (f *fleet) lookAtHistory(t *testing.T, conn *pgx.Conn, id scheduler.ID, tally *tally) {
	t.Helper()
	acknowledged := map[string]int64{}
	for _, w := range tally.writes {
		if w.job == string(id) {
			acknowledged[w.text] = w.revision
		}
	}
	rows, err := conn.Query(t.Context(), `SELECT revision, coalesce("is"->>'note', '') FROM change WHERE job = $1 ORDER BY revision, line`, string(id))
	if err != nil {
		t.Fatal(err)
	}
	var revision, last int64
	var text string
	found := map[string]int{}
	_, err = pgx.ForEachRow(rows, []any{&revision, &text}, func() error {
		if revision > last+1 {
			t.Errorf("%s: the history goes from revision %d to %d", id, last, revision)
		}
		last = revision
		if revision == 1 { // the job as it was loaded
			return nil
		}
		found[text]++
		if was, ok := acknowledged[text]; !ok {
			t.Errorf("%s: %q is in revision %d and nobody was told", id, text, revision)
		} else if was != revision {
			t.Errorf("%s: %q is in revision %d and was acknowledged as %d", id, text, revision, was)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for text, revision := range acknowledged {
		if found[text] != 1 {
			t.Errorf("%s: %q, acknowledged as revision %d, is there %d times", id, text, revision, found[text])
		}
	}
	var head, count, most int64
	err = conn.QueryRow(t.Context(), `SELECT j.revision, (SELECT count(*) FROM revision WHERE job = j.id), (SELECT max(revision) FROM revision WHERE job = j.id)
		FROM job j WHERE id = $1`, string(id)).Scan(&head, &count, &most)
	if err != nil {
		t.Fatal(err)
	}
	if want := int64(1 + len(acknowledged)); head != want || last != want || count != want || most != want {
		t.Errorf("%s: revision %d, %d in the history, %d rows up to %d; want %d of all", id, head, last, count, most, want)
	}
}

// lookAtPlan asks that there is a plan of the newest revision, kept, and right.
func (f *fleet) lookAtPlan(t *testing.T, store *db.Store, conn *pgx.Conn, id scheduler.ID, c *client) {
	t.Helper()
	job, revision, err := store.Job(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	got, err := c.insist(t.Context(), http.MethodGet, "/api/jobs/"+string(id)+"/plan", nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	var standing struct{ Revision int64 }
	if err := json.Unmarshal(got.body, &standing); err != nil || standing.Revision != revision {
		t.Errorf("%s: the plan is of revision %d, want %d: %d", id, standing.Revision, revision, got.status)
	}
	var day string
	if err := until("keep the plan", func() error {
		return conn.QueryRow(t.Context(), `SELECT as_of_day::text FROM plan WHERE job = $1 AND revision = $2`, string(id), revision).Scan(&day)
	}); err != nil {
		t.Errorf("%s: %v", id, err)
		return
	}
	asOf, err := worktime.ParseDate(day)
	if err != nil {
		t.Fatal(err)
	}
	plan, _, err := store.LoadPlan(t.Context(), db.PlanOf{Job: id, Revision: revision, AsOf: asOf})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verify.Plan(job, plan) {
		t.Errorf("%s: the plan of revision %d is wrong: %s", id, revision, v)
	}
}

// lookAtClients asks that every client has heard of the newest revision of its job and
// of its plan, and that all get the same job, whichever instance answers.
func (f *fleet) lookAtClients(t *testing.T, store *db.Store, clients []*client) {
	t.Helper()
	want := map[string][sha256.Size]byte{}
	for _, c := range clients {
		_, revision, err := store.Job(t.Context(), scheduler.ID(c.job))
		if err != nil {
			t.Fatal(err)
		}
		if err := until("hear of the newest revision", func() error {
			c.seen.Lock()
			wrong := c.seen.wrong
			c.seen.Unlock()
			if wrong != nil {
				return errors.Join(errOver, wrong)
			}
			if c.seen.newest() < revision {
				return fmt.Errorf("%s has heard of revision %d of %s, want %d", c.name, c.seen.newest(), c.job, revision)
			}
			return nil
		}); err != nil {
			t.Error(err)
		}
		if got := c.seen.newest(); got > revision {
			t.Errorf("%s has heard of revision %d of %s, which ends with %d", c.name, got, c.job, revision)
		}
		bases := []string{c.base}
		for _, i := range f.instances {
			bases = append(bases, "http://"+i.address)
		}
		for _, base := range bases {
			got, err := c.at(base).insist(t.Context(), http.MethodGet, "/api/jobs/"+c.job+"/file", nil, nil)
			if err != nil || got.status != http.StatusOK {
				t.Fatalf("%s: %s: %v", c.name, base, err)
			}
			sum := sha256.Sum256(got.body)
			if first, ok := want[c.job]; !ok {
				want[c.job] = sum
			} else if sum != first {
				t.Errorf("%s gets another %s from %s", c.name, c.job, base)
			}
		}
	}
}
