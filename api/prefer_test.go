package api

import (
	"net/http"
	"testing"
	"time"

	"gaugerod/db"
	"gaugerod/scheduler/worktime"
)

// TestWhoWouldRatherNotWait: with wait=0 (RFC 7240) a read is answered from the plan that is
// there while the next is being made, and says so; without it, it waits.
func TestWhoWouldRatherNotWait(t *testing.T) {
	s := newSite(t).withExample()
	preferring := func(preference string) answer {
		t.Helper()
		return s.get(garden+"/windows", header("Prefer", preference)).want(http.StatusOK)
	}
	const applied = "Preference-Applied"
	first := s.get(garden + "/windows").want(http.StatusOK)
	for _, preference := range []string{"wait=0", "respond-async", ""} {
		if got := preferring(preference); got.header.Get("ETag") != first.header.Get("ETag") {
			t.Errorf("with %q another plan than the one there is: %s", preference, got.header.Get("ETag"))
		}
	}
	// Somebody else makes the plan of the next revision, and takes long.
	claim, err := s.store.Claim(t.Context(), db.PlanOf{Job: "garden-studio", Revision: 2, AsOf: worktime.NewDate(2026, 4, 13)})
	if err != nil || !claim.Mine {
		t.Fatalf("%+v, %v", claim, err)
	}
	setCrews(s, 2).want(http.StatusOK)
	for _, preference := range []string{"wait=0", "Wait = 0", "handling=lenient, wait=0"} {
		got := preferring(preference)
		if etag, counted := got.header.Get("ETag"), got.header.Get(applied); etag != first.header.Get("ETag") || counted != "wait=0" {
			t.Errorf("with %q the plan is %s, not %s, and %q counted", preference, etag, first.header.Get("ETag"), counted)
		}
		if body := into[struct{ Revision int64 }](got); body.Revision != 1 {
			t.Errorf("with %q the answer says it is of revision %d", preference, body.Revision)
		}
	}
	waited := make(chan answer, 2)
	for _, preference := range []string{"respond-async", "wait=10"} {
		go func() { waited <- s.get(garden+"/windows", header("Prefer", preference)) }()
	}
	select {
	case got := <-waited:
		t.Errorf("who did not ask for it has an answer before there is a plan: %d", got.status)
	case <-time.After(100 * time.Millisecond):
	}
	claim.Release()
	for range cap(waited) {
		got := <-waited
		if body := into[struct{ Revision int64 }](got.want(http.StatusOK)); body.Revision != 2 || got.header.Get(applied) != "" {
			t.Errorf("who waited has revision %d, and %q counted", body.Revision, got.header.Get(applied))
		}
	}
	if body := into[struct{ Revision int64 }](preferring("wait=0")); body.Revision != 2 {
		t.Errorf("once it is there, revision %d", body.Revision)
	}
}
