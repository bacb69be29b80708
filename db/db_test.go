package db_test

import (
	"fmt"
	"os"
	"testing"
	"time"

	"gaugerod/db"
	"gaugerod/db/dbtest"
)

func TestMain(m *testing.M) {
	if folder := os.Getenv(crashFolder); folder != "" {
		fmt.Fprintln(os.Stderr, writer(folder))
		os.Exit(1)
	}
	if address := os.Getenv(searchAddress); address != "" {
		fmt.Fprintln(os.Stderr, searcher(address))
		os.Exit(1)
	}
	os.Exit(dbtest.Main(m))
}

// soak says whether tests that can go on for long shall do so.
func soak() bool { return os.Getenv("GAUGEROD_TEST_SOAK") != "" }

// noon is the clock of tests that do not look at it.
func noon() time.Time { return time.Date(2026, 4, 13, 12, 0, 0, 0, time.UTC) }

// open is a store that reads everything from the database, so that tests see what is
// there.
func open(t *testing.T) *db.Store {
	t.Helper()
	t.Parallel()
	return forgetful(t)
}

func forgetful(t testing.TB) *db.Store {
	t.Helper()
	store := dbtest.Open(t, noon)
	db.HoldAtMost(store, 0)
	return store
}
