package api

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/rs/zerolog"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
)

// since opens the events of the garden from an event on, 0: from the beginning.
func (r *running) since(t *testing.T, last int64) func() event {
	t.Helper()
	q, err := http.NewRequestWithContext(t.Context(), http.MethodGet, r.base+garden+"/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	q.Header.Set("Authorization", "Bearer "+r.token)
	if last > 0 {
		q.Header.Set("Last-Event-ID", fmt.Sprint(last))
	}
	got, err := r.client.Do(q)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { got.Body.Close() })
	return everyEvent(t, got)
}

// plan reads events until one tells of a plan of a revision.
func plan(t *testing.T, next func() event, revision int64) PlanEvent {
	t.Helper()
	for {
		e := next()
		if e.name == "end" {
			t.Fatal("the stream ended")
		}
		var p PlanEvent
		if err := json.Unmarshal([]byte(e.data), &p); err != nil {
			t.Fatal(err)
		}
		if e.name == "plan" && p.Revision == revision {
			if e.id != fmt.Sprint(revision) {
				t.Errorf("the id of %+v is %s", p, e.id)
			}
			return p
		}
	}
}

func (s *site) crews(n int) {
	s.t.Helper()
	s.send("PUT", garden+"/trades/cladding/crews", fmt.Sprintf(`{"crews":%d}`, n)).want(http.StatusOK)
}

func revisionEvent(r int64) event {
	return event{"revision", fmt.Sprint(r), fmt.Sprintf(`{"revision":%d}`, r)}
}

func TestEventsOfRevisionsAndPlans(t *testing.T) {
	s := newSite(t).withExample()
	r := run(t, s)
	next := r.since(t, 0)
	if got := next(); got != revisionEvent(1) {
		t.Fatalf("first comes %+v", got)
	}
	s.get(garden + "/plan") // nobody has asked for it yet
	first := plan(t, next, 1)
	sheet, err := s.server.office.Sheet(t.Context(), "garden-studio", nil)
	if err != nil {
		t.Fatal(err)
	}
	if first.AsOf != sheet.AsOf || first.Take != 1 || !first.Finish.Equal(sheet.Plan.Finish) || *first.Proven != sheet.Plan.Proven {
		t.Errorf("the plan is told as %+v", first)
	}
	s.crews(2)
	if got := next(); got != revisionEvent(2) {
		t.Fatalf("after a change comes %+v", got)
	}
	plan(t, next, 2)

	// Another instance finds a better plan.
	better := *sheet.Plan
	of := db.PlanOf{Job: "garden-studio", Revision: 2, AsOf: first.AsOf}
	if _, kept, err := s.store.BetterPlan(t.Context(), of, db.Pack(&better), 1); err != nil || !kept {
		t.Fatal(kept, err)
	}
	if p := plan(t, next, 2); p.Take != 2 {
		t.Errorf("the better plan is told as %+v", p)
	}
	if got := s.get(garden + "/plan").header.Get("ETag"); got != planTag(2, of.AsOf, 2) {
		t.Errorf("then the plan is %s", got)
	}
	s.get(garden+"/plan", header("If-None-Match", planTag(2, of.AsOf, 1))).want(http.StatusOK)
	s.get(garden+"/plan", header("If-None-Match", planTag(2, of.AsOf, 2))).want(http.StatusNotModified)
}

// TestEventsGoOnWhereTheyWereLost: who comes back is told what came meanwhile, of few
// revisions each, of many the newest.
func TestEventsGoOnWhereTheyWereLost(t *testing.T) {
	s := newSite(t).withExample()
	r := run(t, s)
	for k := range 4 {
		s.crews(k + 2)
	}
	next := r.since(t, 2)
	for _, want := range []int64{3, 4, 5} {
		if got := next(); got != revisionEvent(want) {
			t.Fatalf("after 2 comes %+v, want %d", got, want)
		}
	}
	plan(t, next, 5)

	next = r.since(t, 5)
	plan(t, next, 5)
	for k := range mostMissed {
		s.crews(k + 10)
	}
	newest := int64(5 + mostMissed)
	next = r.since(t, 4)
	if got := next(); got != revisionEvent(newest) {
		t.Fatalf("after more than %d comes %+v", mostMissed, got)
	}
	if got := r.since(t, 1000)(); got != revisionEvent(newest) {
		t.Fatalf("after a revision that there never was comes %+v", got)
	}
	q := s.get(garden+"/events", header("Last-Event-ID", "-1"))
	q.want(http.StatusUnprocessableEntity)
}

// TestEventsComeFromOtherInstances has two instances over one database. The listening
// connection of the one is cut while the other changes the job: nothing is missed.
func TestEventsComeFromOtherInstances(t *testing.T) {
	t.Parallel()
	address := dbtest.Address(t)
	s := newSiteOver(t, storeAt(t, address)).withExample()
	r := run(t, s)
	next := r.since(t, 0)
	s.get(garden + "/plan")
	plan(t, next, 1)
	other := office.New(storeAt(t, address), time.Now, zerolog.Nop())
	t.Cleanup(other.Close)
	change := func(n int) {
		t.Helper()
		set := func(j *scheduler.Job) error { return j.SetCrews("cladding", n) }
		if _, err := other.Commit(t.Context(), "garden-studio", db.By("elsewhere"), set); err != nil {
			t.Fatal(err)
		}
	}
	change(2)
	if got := next(); got != revisionEvent(2) {
		t.Fatalf("from elsewhere comes %+v", got)
	}
	plan(t, next, 2)
	cutListening(t, address)
	change(3)
	change(4)
	for {
		e := next()
		if e.name == "end" {
			t.Fatal("the stream ended")
		}
		if e == revisionEvent(4) {
			break
		}
	}
	plan(t, next, 4)
}

func storeAt(t *testing.T, address string) *db.Store {
	t.Helper()
	store, err := db.Open(t.Context(), address, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(store.Close)
	return store
}

// cutListening ends the connections of a database over which word of changes comes.
func cutListening(t *testing.T, address string) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), strings.Replace(address, "&pool_max_conns=6", "", 1))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	_, err = conn.Exec(t.Context(), `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE query LIKE 'LISTEN%' AND datname = current_database()`)
	if err != nil {
		t.Fatal(err)
	}
}

// TestStreamsEndWithTheService opens as many streams as one session may and stops the
// service. That no goroutine stays is looked at when all tests have ended.
func TestStreamsEndWithTheService(t *testing.T) {
	s := newSite(t).withExample()
	r := run(t, s)
	s.get(garden + "/plan")
	var open []func() event
	for range mostStreams {
		open = append(open, r.since(t, 0))
	}
	for _, next := range open {
		plan(t, next, 1)
	}
	r.stop()
	for _, next := range open {
		for next().name != "end" {
		}
	}
	r.stopped(t)
	if n := len(s.server.streams.of); n != 0 {
		t.Errorf("%d sessions have streams still", n)
	}
}
