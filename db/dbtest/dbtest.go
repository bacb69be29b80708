// Package dbtest gives tests a real Postgres: one private cluster for a test
// binary, one fresh database for a test. Without Postgres tests fail.
package dbtest

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/rs/zerolog"

	"gaugerod/db"
	"gaugerod/db/private"
)

// server is the cluster of the test binary and the database that others are copied
// from, made when the first test asks for it.
type server struct {
	once    sync.Once
	folder  string
	cluster *private.Cluster
	err     error
	copying sync.Mutex // a database is copied by one at a time
	count   atomic.Int64
}

var shared server

const pattern = "pattern"

// Main runs the tests of a package and takes the cluster down after them:
//
//	func TestMain(m *testing.M) { os.Exit(dbtest.Main(m)) }
func Main(m *testing.M) int {
	code := m.Run()
	if shared.cluster != nil {
		if err := shared.cluster.Stop(context.Background()); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = 1
		}
	}
	os.RemoveAll(shared.folder)
	return code
}

// Open is a store on a fresh, migrated database.
func Open(t testing.TB, now func() time.Time) *db.Store {
	t.Helper()
	s, err := db.Open(t.Context(), Address(t), now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	return s
}

// Address is the address of a fresh, migrated database.
func Address(t testing.TB) string { t.Helper(); return fresh(t, pattern) }

// Empty is the address of a fresh database without a schema.
func Empty(t testing.TB) string { t.Helper(); return fresh(t, "template0") }

func fresh(t testing.TB, from string) string {
	t.Helper()
	shared.once.Do(func() { shared.err = shared.start() })
	if shared.err != nil {
		t.Fatalf("tests of the database need Postgres: %v", shared.err)
	}
	name := fmt.Sprintf("test_%d", shared.count.Add(1))
	shared.copying.Lock()
	defer shared.copying.Unlock()
	err := execute(context.Background(), shared.cluster.Address(), "CREATE DATABASE "+name+" TEMPLATE "+from)
	if err != nil {
		t.Fatal(err)
	}
	return within(shared.cluster.Address(), name)
}

func (s *server) start() (err error) {
	ctx := context.Background()
	if s.folder, err = os.MkdirTemp("", "gaugerod-test-"); err != nil {
		return err
	}
	// Postgres may run as another user, who must get through.
	if err := os.Chmod(s.folder, 0o755); err != nil {
		return err
	}
	s.cluster, err = private.Start(ctx, private.Config{Folder: filepath.Join(s.folder, "data"), Log: zerolog.Nop()})
	if err != nil {
		return err
	}
	if err := execute(ctx, s.cluster.Address(), "CREATE DATABASE "+pattern); err != nil {
		return err
	}
	store, err := db.Open(ctx, within(s.cluster.Address(), pattern), time.Now)
	if err != nil {
		return err
	}
	defer store.Close()
	return store.Migrate(ctx)
}

func execute(ctx context.Context, address, sql string) error {
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, sql)
	return err
}

// within is the address of another database of the same cluster. Few connections
// each, for there may be many at once.
func within(address, database string) string {
	u, err := url.Parse(address)
	if err != nil {
		return address
	}
	u.Path = "/" + database
	u.RawQuery += "&pool_max_conns=6"
	return u.String()
}
