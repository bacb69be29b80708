package private_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
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

// helperFolder names the folder when the test binary runs as the program that
// owns a cluster and will be killed.
const helperFolder = "GAUGEROD_TEST_PRIVATE_FOLDER"

// helper starts the cluster and then writes numbers, each printed when it has been
// acknowledged.
func helper(folder string) {
	ctx := context.Background()
	c, err := private.Start(ctx, private.Config{Folder: folder, Log: zerolog.Nop()})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	conn, err := pgx.Connect(ctx, c.Address())
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	if _, err := conn.Exec(ctx, "CREATE TABLE IF NOT EXISTS numbers (n bigint)"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	for n := 1; ; n++ {
		if _, err := conn.Exec(ctx, "INSERT INTO numbers VALUES ($1)", n); err != nil {
			os.Exit(1)
		}
		fmt.Println(n)
	}
}

func startHelper(t *testing.T, folder string) (*osexec.Cmd, *bufio.Scanner) {
	t.Helper()
	cmd := osexec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), helperFolder+"="+folder)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	return cmd, bufio.NewScanner(out)
}

func TestKillOfTheProgramLosesNothing(t *testing.T) {
	folder := madeFolder(t)
	for round := range 3 {
		cmd, lines := startHelper(t, folder)
		acknowledged := 0
		for lines.Scan() {
			acknowledged, _ = strconv.Atoi(lines.Text())
			if acknowledged == 20*(round+1) {
				cmd.Process.Kill()
			}
		}
		cmd.Wait()
		c := start(t, folder)
		conn := connect(t, c.Address())
		if n := query[int](t, conn, "SELECT coalesce(max(n), 0) FROM numbers"); n < acknowledged || acknowledged == 0 {
			t.Errorf("%d were acknowledged, %d are there", acknowledged, n)
		}
		exec(t, conn, "TRUNCATE numbers")
		stop(t, c)
	}
}

func TestKillOfProgramAndPostgresTogether(t *testing.T) {
	folder := madeFolder(t)
	cmd, lines := startHelper(t, folder)
	acknowledged := 0
	for lines.Scan() {
		acknowledged, _ = strconv.Atoi(lines.Text())
		if acknowledged == 20 {
			syscall.Kill(postmaster(t, folder), syscall.SIGKILL)
			cmd.Process.Kill()
		}
	}
	cmd.Wait()
	conn := connect(t, start(t, folder).Address())
	if n := query[int](t, conn, "SELECT count(*) FROM numbers"); n < acknowledged || acknowledged == 0 {
		t.Errorf("%d were acknowledged, %d are there", acknowledged, n)
	}
}

func TestKillOfPostgresIsSurvived(t *testing.T) {
	folder := madeFolder(t)
	c := start(t, folder)
	for range 2 {
		pid := postmaster(t, folder)
		if err := syscall.Kill(pid, syscall.SIGKILL); err != nil {
			t.Fatal(err)
		}
		for deadline := time.Now().Add(20 * time.Second); currentPostmaster(folder) == pid; time.Sleep(10 * time.Millisecond) {
			if time.Now().After(deadline) {
				t.Fatal("Postgres was not started again")
			}
		}
		wantKept(t, c)
	}
	if err := c.Err(); err != nil {
		t.Error(err)
	}
}

func currentPostmaster(folder string) int {
	text, err := os.ReadFile(filepath.Join(folder, "data", "postmaster.pid"))
	if err != nil {
		return 0
	}
	first, _, _ := strings.Cut(string(text), "\n")
	pid, _ := strconv.Atoi(first)
	return pid
}

func TestKeepsStoppingIsAnError(t *testing.T) {
	folder := madeFolder(t)
	c := start(t, folder)
	// A setting that Postgres cannot start with, and then its death.
	write(t, filepath.Join(folder, "data", "postgresql.auto.conf"), "shared_buffers = nonsense\n")
	syscall.Kill(postmaster(t, folder), syscall.SIGKILL)
	select {
	case <-c.Done():
	case <-time.After(30 * time.Second):
		t.Fatal("not given up after half a minute")
	}
	if err := c.Err(); err == nil || !strings.Contains(err.Error(), folder) {
		t.Errorf("the error is %v", err)
	}
}

// A pid file may name a process that has nothing to do with us: ourselves.
func TestStalePidFile(t *testing.T) {
	for _, pid := range []int{os.Getpid(), 1, 4194000} {
		folder := madeFolder(t)
		data := filepath.Join(folder, "data")
		write(t, filepath.Join(data, "postmaster.pid"),
			fmt.Sprintf("%d\n%s\n1700000000\n5432\n%s\n\n", pid, data, filepath.Join(folder, "run")))
		wantKept(t, start(t, folder))
	}
}

func TestUnfinishedDataIsThrownAway(t *testing.T) {
	folder := newFolder(t)
	for _, after := range []time.Duration{50, 200, 400} {
		cmd, _ := startHelper(t, folder)
		time.Sleep(after * time.Millisecond)
		cmd.Process.Kill()
		cmd.Wait()
	}
	connect(t, start(t, folder).Address())
	if _, err := os.Stat(filepath.Join(folder, "data.new")); !os.IsNotExist(err) {
		t.Errorf("data.new is left (%v)", err)
	}
}

// TestAsOrdinaryUser runs the other tests once more as somebody who is not root.
func TestAsOrdinaryUser(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("we are one")
	}
	folder := filepath.Dir(newFolder(t))
	if err := os.Chmod(folder, 0o777); err != nil {
		t.Fatal(err)
	}
	binary := filepath.Join(folder, "private.test")
	copyFile(t, os.Args[0], binary)
	const nobody = 65534
	cmd := osexec.Command(binary, "-test.v", "-test.timeout=5m",
		"-test.run=^Test(FreshStart|RestartKeepsWhatWasWritten|OneOwner|KillOf.*|StalePidFile)$")
	cmd.Dir = folder
	cmd.Env = []string{"PATH=" + os.Getenv("PATH"), "TMPDIR=" + folder, "HOME=" + folder}
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody, Groups: []uint32{}}}
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if !bytes.Contains(out, []byte("--- PASS: TestFreshStart")) {
		t.Errorf("nothing was run:\n%s", out)
	}
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	in, err := os.Open(from)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_CREATE|os.O_WRONLY, 0o755)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(out, in); err != nil {
		t.Fatal(err)
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
}
