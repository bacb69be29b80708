package db_test

import (
	"testing"
	"time"

	"gaugerod/db"
	"gaugerod/db/dbtest"
)

// claimed waits until something can be claimed.
func claimed(t *testing.T, store *db.Store, of db.PlanOf) func() {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if claim, err := store.Claim(t.Context(), of); err == nil && claim.Mine {
			return claim.Release
		}
	}
	t.Fatal("it stays claimed")
	return nil
}

func taken(t *testing.T, store *db.Store, of db.PlanOf) {
	t.Helper()
	if claim, err := store.Claim(t.Context(), of); err != nil || claim.Mine {
		t.Errorf("claimed by two (%v)", err)
	}
}

func TestClaims(t *testing.T) {
	t.Parallel()
	address := dbtest.Address(t)
	store, conn := at(t, address)
	other, _ := at(t, address)
	of := db.PlanOf{Job: "shed", Revision: 1, AsOf: 20000}
	next := of
	next.Revision++

	release := claimed(t, store, of)
	taken(t, store, of) // from the same process too
	taken(t, other, of)
	releaseNext := claimed(t, other, next)
	taken(t, store, next)
	release()
	claimed(t, other, of)
	releaseNext()
	claimed(t, store, next)

	// Whoever holds it dies, and the connection with it.
	taken(t, other, next)
	if _, err := conn.Exec(t.Context(), `SELECT pg_terminate_backend(pid) FROM pg_locks WHERE locktype = 'advisory' AND pid <> pg_backend_pid()
		AND database = (SELECT oid FROM pg_database WHERE datname = current_database())`); err != nil {
		t.Fatal(err)
	}
	held := claimed(t, other, next)
	release() // of a lock that was lost long ago: it takes nothing away
	taken(t, store, next)
	held()
	claimed(t, other, of)
	taken(t, store, of)
	other.Close() // with all that it holds
	claimed(t, store, of)
}

// TestAClaimTellsWhatIsKept: who claims a plan hears whether it was made meanwhile.
func TestAClaimTellsWhatIsKept(t *testing.T) {
	s := newShelf(t)
	kept := func(of db.PlanOf, want bool) {
		t.Helper()
		claim, err := s.store.Claim(t.Context(), of)
		if err != nil || !claim.Mine || claim.Kept != want {
			t.Fatalf("claim %+v, %v; want one that says kept: %t", claim, err, want)
		}
		claim.Release()
	}
	of := s.of(1, 20000)
	kept(of, false)
	s.save(1, 20000, "one", true)
	kept(of, true)
	kept(s.of(1, 20001), false)
	kept(s.of(2, 20000), false)
}
