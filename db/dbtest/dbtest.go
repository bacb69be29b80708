// Package dbtest gives tests a real Postgres: one private cluster for a test
// binary, one fresh database for a test. Without Postgres tests fail.
package dbtest

import (
	"testing"
	"time"

	"gaugerod/db"
)

// Main runs the tests of a package with a cluster: func TestMain(m *testing.M) {
// os.Exit(dbtest.Main(m)) }.
func Main(m *testing.M) int { return m.Run() }

// Open is a store on a fresh, migrated database that is dropped after the test.
func Open(t testing.TB, now func() time.Time) *db.Store {
	t.Helper()
	t.Fatal("not written yet")
	return nil
}

// Address is the address of a fresh, migrated database.
func Address(t testing.TB) string {
	t.Helper()
	t.Fatal("not written yet")
	return ""
}
