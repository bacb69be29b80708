package private_test

import (
	"context"
	"errors"
	"os"
	osexec "os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/rs/zerolog"

	"gaugerod/db/private"
)

func TestMain(m *testing.M) {
	if folder := os.Getenv(helperFolder); folder != "" {
		helper(folder)
		return
	}
	code := m.Run()
	if pattern != "" {
		os.RemoveAll(filepath.Dir(pattern))
	}
	os.Exit(code)
}

// newFolder is a folder that is not there yet, to which the user that Postgres
// runs as can get (t.TempDir is shut to others).
func newFolder(t *testing.T) string {
	t.Helper()
	above, err := os.MkdirTemp("", "private-test-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(above) })
	if err := os.Chmod(above, 0o755); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(above, "data folder") // a blank, as people have them
}

// pattern is a folder with a cluster that was made once and stopped, for copying:
// making one takes seconds.
var pattern string

// madeFolder is a folder with a stopped cluster in it that has the table kept.
func madeFolder(t *testing.T) string {
	t.Helper()
	if pattern == "" {
		above, err := os.MkdirTemp("", "private-test-")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(above, 0o755); err != nil {
			t.Fatal(err)
		}
		folder := filepath.Join(above, "pattern")
		c := start(t, folder)
		exec(t, connect(t, c.Address()), "CREATE TABLE kept AS SELECT 42::bigint AS n")
		stop(t, c)
		pattern = folder
	}
	folder := newFolder(t)
	if out, err := osexec.Command("cp", "-a", pattern, folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return folder
}

// wantKept checks that what was written into the pattern is there.
func wantKept(t *testing.T, c *private.Cluster) {
	t.Helper()
	if n := query[int](t, connect(t, c.Address()), "SELECT n FROM kept"); n != 42 {
		t.Errorf("kept %d, want 42", n)
	}
}

func start(t *testing.T, folder string) *private.Cluster {
	t.Helper()
	c, err := private.Start(t.Context(), private.Config{Folder: folder, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Stop(context.Background()) })
	return c
}

func stop(t *testing.T, c *private.Cluster) {
	t.Helper()
	if err := c.Stop(context.Background()); err != nil {
		t.Fatal(err)
	}
}

// connect waits for a Postgres that may just be coming up again.
func connect(t *testing.T, address string) *pgx.Conn {
	t.Helper()
	var err error
	for range 500 {
		var conn *pgx.Conn
		if conn, err = pgx.Connect(t.Context(), address); err == nil {
			t.Cleanup(func() { conn.Close(context.Background()) })
			return conn
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatal(err)
	return nil
}

func query[T any](t *testing.T, conn *pgx.Conn, sql string) (value T) {
	t.Helper()
	if err := conn.QueryRow(t.Context(), sql).Scan(&value); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	return value
}

func exec(t *testing.T, conn *pgx.Conn, sql string) {
	t.Helper()
	if _, err := conn.Exec(t.Context(), sql); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
}

func postmaster(t *testing.T, folder string) int {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, "data", "postmaster.pid"))
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(text), "\n")
	pid, err := strconv.Atoi(first)
	if err != nil {
		t.Fatal(err)
	}
	return pid
}

func TestFreshStart(t *testing.T) {
	folder := newFolder(t)
	c := start(t, folder)
	conn := connect(t, c.Address())
	for setting, want := range map[string]string{
		"listen_addresses": "", "unix_socket_permissions": "0700", "fsync": "on", "full_page_writes": "on",
		"synchronous_commit": "on", "data_checksums": "on", "TimeZone": "UTC", "server_encoding": "UTF8",
	} {
		if got := query[string](t, conn, "SHOW "+setting); got != want {
			t.Errorf("%s is %q, want %q", setting, got, want)
		}
	}
	info, err := os.Stat(folder)
	if err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("the data folder has the rights %v (%v), want 0700", info.Mode(), err)
	}
	process, err := os.Stat("/proc/" + strconv.Itoa(postmaster(t, folder)))
	if err != nil || process.Sys().(*syscall.Stat_t).Uid == 0 {
		t.Errorf("Postgres runs as root (%v)", err)
	}
	if _, err := pgx.Connect(t.Context(), strings.Replace(c.Address(), ":", ":x", 2)); err == nil {
		t.Error("a wrong password was let in")
	}
}

func TestRestartKeepsWhatWasWritten(t *testing.T) {
	folder := newFolder(t)
	c := start(t, folder)
	exec(t, connect(t, c.Address()), "CREATE TABLE kept AS SELECT 42 AS n")
	stop(t, c)
	select {
	case <-c.Done():
	default:
		t.Error("a stopped cluster is not done")
	}
	if left, _ := filepath.Glob(filepath.Join(folder, "run*")); left != nil {
		t.Errorf("left behind: %v", left)
	}
	wantKept(t, start(t, folder))
}

func TestStopInAHurry(t *testing.T) {
	folder := madeFolder(t)
	c := start(t, folder)
	over, cancel := context.WithCancel(context.Background())
	cancel()
	if err := c.Stop(over); err != nil {
		t.Fatal(err)
	}
	wantKept(t, start(t, folder))
}

func TestStartGivesUpWithItsContext(t *testing.T) {
	folder := newFolder(t)
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer cancel()
	if _, err := private.Start(ctx, private.Config{Folder: folder, Log: zerolog.Nop()}); err == nil {
		t.Fatal("a first start within 20 ms")
	}
	start(t, folder) // and the folder is free and sound
}

func TestOneOwner(t *testing.T) {
	folder := madeFolder(t)
	c := start(t, folder)
	_, err := private.Start(t.Context(), private.Config{Folder: folder, Log: zerolog.Nop()})
	var owned *private.ErrOwned
	if !errors.As(err, &owned) || !strings.Contains(err.Error(), folder) {
		t.Fatalf("a second owner got %v, want ErrOwned with the folder", err)
	}
	connect(t, c.Address()) // the first one is not disturbed
	stop(t, c)
	start(t, folder)
}

func TestNoPostgresSaysWhatToDo(t *testing.T) {
	_, err := private.Start(t.Context(), private.Config{Folder: newFolder(t), Binaries: t.TempDir(), Log: zerolog.Nop()})
	var missing *private.ErrNoPostgres
	if !errors.As(err, &missing) || !strings.Contains(err.Error(), "apt-get install postgresql") {
		t.Fatalf("got %v, want ErrNoPostgres that says what to install", err)
	}
}

func TestOtherVersionIsRefusedAndLeftAlone(t *testing.T) {
	folder := madeFolder(t)
	file := filepath.Join(folder, "data", "PG_VERSION")
	was, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	write(t, file, "9\n")
	_, err = private.Start(t.Context(), private.Config{Folder: folder, Log: zerolog.Nop()})
	var version *private.ErrVersion
	if !errors.As(err, &version) || version.Data != "9" || version.Have != strings.TrimSpace(string(was)) {
		t.Fatalf("got %v, want ErrVersion", err)
	}
	write(t, file, string(was))
	wantKept(t, start(t, folder))
}

func TestDataThatIsNoPostgresIsLeftAlone(t *testing.T) {
	folder := madeFolder(t)
	if err := os.Remove(filepath.Join(folder, "data", "PG_VERSION")); err != nil {
		t.Fatal(err)
	}
	if _, err := private.Start(t.Context(), private.Config{Folder: folder, Log: zerolog.Nop()}); err == nil {
		t.Fatal("data without a version was taken for sound")
	}
	if _, err := os.Stat(filepath.Join(folder, "data", "base")); err != nil {
		t.Errorf("the data was touched: %v", err)
	}
}

func TestForeignFolderIsRefused(t *testing.T) {
	folder := newFolder(t)
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(folder, "letter.txt"), "not ours")
	if _, err := private.Start(t.Context(), private.Config{Folder: folder, Log: zerolog.Nop()}); err == nil {
		t.Fatal("a folder with other things in it was taken")
	}
	if info, _ := os.Stat(folder); info.Mode().Perm() != 0o755 {
		t.Errorf("its rights were changed to %v", info.Mode())
	}
}

func TestUnreachableFolderIsNamed(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root runs Postgres as somebody else")
	}
	shut := filepath.Dir(newFolder(t))
	if err := os.Chmod(shut, 0o700); err != nil {
		t.Fatal(err)
	}
	_, err := private.Start(t.Context(), private.Config{Folder: filepath.Join(shut, "in", "here"), Log: zerolog.Nop()})
	var barrier *private.ErrUnreachable
	if !errors.As(err, &barrier) || barrier.Barrier != shut {
		t.Fatalf("got %v, want ErrUnreachable naming %s", err, shut)
	}
}

func TestLongPath(t *testing.T) {
	folder := filepath.Join(filepath.Dir(newFolder(t)), strings.Repeat("long/", 20), "x")
	c := start(t, folder)
	exec(t, connect(t, c.Address()), "CREATE TABLE kept AS SELECT 42 AS n")
	short, err := os.Readlink(filepath.Join(folder, "run"))
	if err != nil {
		t.Fatal(err)
	}
	stop(t, c)
	if _, err := os.Stat(short); !os.IsNotExist(err) {
		t.Errorf("the short folder %s is left behind (%v)", short, err)
	}
	wantKept(t, start(t, folder))
}

func write(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestJoin(t *testing.T) {
	folder := madeFolder(t)
	if _, err := private.Join(folder); err == nil {
		t.Error("joined a Postgres that does not run")
	}
	if _, err := private.Join(newFolder(t)); err == nil {
		t.Error("joined a folder that is not there")
	}
	c := start(t, folder)
	address, err := private.Join(folder)
	if err != nil || address != c.Address() {
		t.Errorf("joining gives %v and another address than the owner's", err)
	}
}
