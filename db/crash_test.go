package db_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"gaugerod/db"
	"gaugerod/db/private"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/worktime"
)

// crashFolder in the environment makes the test binary a program that writes until
// it is killed.
const crashFolder = "GAUGEROD_TEST_CRASH_FOLDER"

// writer is the program: it opens the private Postgres and then adds one task after
// the other, saying the number of each once it has been acknowledged.
func writer(folder string) error {
	ctx := context.Background()
	cluster, err := private.Start(ctx, private.Config{Folder: folder, Log: zerolog.Nop()})
	if err != nil {
		return err
	}
	store, err := db.Open(ctx, cluster.Address(), time.Now)
	if err != nil {
		return err
	}
	if err := store.Migrate(ctx); err != nil {
		return err
	}
	job, _, err := store.Job(ctx, "garden-studio")
	if err != nil {
		data, err := os.ReadFile("../testdata/every-feature.job.yaml")
		if err != nil {
			return err
		}
		if job, err = jobfile.Read("every-feature", data); err != nil {
			return err
		}
		if _, err := store.Put(ctx, job, db.By("ida")); err != nil {
			return err
		}
	}
	fmt.Println("ready")
	for n := len(job.Tasks); ; n++ {
		_, err := store.Change(ctx, job.ID, db.By("kim"), func(j *scheduler.Job) error {
			j.Tasks = append(j.Tasks, newTask(scheduler.ID(fmt.Sprint("task-", n))))
			j.Facts = append(j.Facts, scheduler.Fact{
				Step: scheduler.ID(fmt.Sprint("task-", n)), Started: &worktime.When{Day: worktime.NewDate(2026, 4, 9)},
			})
			return nil
		})
		if err != nil {
			return err
		}
		fmt.Println(n)
	}
}

// TestKillInTheMiddleOfWriting kills the program 20 times while it writes, and every
// third time Postgres with it. Each time it comes up again, nothing acknowledged is
// missing, nothing is there by half, and the history has no gap.
func TestKillInTheMiddleOfWriting(t *testing.T) {
	rounds := 20
	if soak() {
		rounds = 500
	}
	folder := crashable(t)
	acknowledged := 0
	for round := range rounds {
		acknowledged = max(acknowledged, killed(t, folder, round))
		if round%5 == 4 || round == rounds-1 {
			lookAfterKill(t, folder, acknowledged)
		}
	}
	t.Logf("%d changes acknowledged over %d kills", acknowledged, rounds)
}

// crashable is a folder for a cluster of the test's own.
func crashable(t *testing.T) string {
	t.Helper()
	above, err := os.MkdirTemp("", "gaugerod-crash-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(above) })
	if err := os.Chmod(above, 0o755); err != nil { // Postgres may run as another user
		t.Fatal(err)
	}
	return filepath.Join(above, "data")
}

// killed lets the program write a little and kills it; the last number it said.
func killed(t *testing.T, folder string, round int) (acknowledged int) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), crashFolder+"="+folder)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	defer cmd.Wait()
	defer cmd.Process.Kill()
	ready := false
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if lines.Text() == "ready" {
			ready = true
			// At another moment of the writing each time.
			time.AfterFunc(time.Duration(20+37*round%200)*time.Millisecond, func() {
				if round%3 == 2 {
					killPostgres(folder)
				}
				cmd.Process.Kill()
			})
			continue
		}
		if n, err := strconv.Atoi(lines.Text()); err == nil {
			acknowledged = n
		}
	}
	if !ready {
		t.Fatalf("round %d: the program did not come up again", round)
	}
	return acknowledged
}

func killPostgres(folder string) {
	text, err := os.ReadFile(filepath.Join(folder, "data", "postmaster.pid"))
	if err != nil {
		return
	}
	first, _, _ := strings.Cut(string(text), "\n")
	if pid, err := strconv.Atoi(first); err == nil {
		syscall.Kill(pid, syscall.SIGKILL)
	}
}

// lookAfterKill opens what was left and checks it.
func lookAfterKill(t *testing.T, folder string, acknowledged int) {
	t.Helper()
	cluster, err := private.Start(t.Context(), private.Config{Folder: folder, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	defer cluster.Stop(context.Background())
	store, err := db.Open(t.Context(), cluster.Address(), noon)
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	job, revision, err := store.Job(t.Context(), "garden-studio")
	if err != nil {
		t.Fatal(err)
	}
	last := job.Tasks[len(job.Tasks)-1].ID
	if n, err := strconv.Atoi(strings.TrimPrefix(string(last), "task-")); err != nil || n < acknowledged {
		t.Errorf("the last task is %q, but %d was acknowledged", last, acknowledged)
	}
	first := len(everyFeature(t).Tasks)
	for k := first; k < len(job.Tasks); k++ {
		if id := job.Tasks[k].ID; id != scheduler.ID(fmt.Sprint("task-", k)) || len(job.Tasks[k].Trades) != 1 || job.FindFact(id) == nil {
			t.Errorf("task %d is %q, or there by half", k, id)
		}
	}
	if want := int64(1 + len(job.Tasks) - first); revision != want {
		t.Errorf("revision %d, want %d", revision, want)
	}
	lines, err := store.History(t.Context(), job.ID, 0, 1_000_000)
	if err != nil {
		t.Fatal(err)
	}
	wantGapless(t, lines, revision)
}
