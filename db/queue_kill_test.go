package db_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"gaugerod/db"
	"gaugerod/db/dbtest"
)

// searchAddress in the environment makes the test binary a program that begins a long
// search in the database there and never ends it.
const searchAddress = "GAUGEROD_TEST_SEARCH_ADDRESS"

// searcher is the program. It says when it has begun.
func searcher(address string) error {
	ctx := context.Background()
	store, err := db.Open(ctx, address, noon)
	if err != nil {
		return err
	}
	heavy := brisk(func(ctx context.Context, _ db.PlanOf, _ int) (db.PlanHead, error) {
		fmt.Println("searching")
		<-ctx.Done()
		return db.PlanHead{}, ctx.Err()
	})
	heavy.Limit, heavy.Rescue = time.Hour, 2*time.Hour
	return store.Work(ctx, heavy, zerolog.Nop())
}

// TestSearchOutlivesAKill kills a process with a long search in it: another one notices
// and does the round again.
func TestSearchOutlivesAKill(t *testing.T) {
	t.Parallel()
	address := dbtest.Address(t)
	store, _ := at(t, address)
	job := everyFeature(t)
	put(t, store, job)
	shelf{t, store, job.ID}.save(1, 20000, "quick", true)

	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), searchAddress+"="+address)
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	if !lines.Scan() || lines.Text() != "searching" {
		t.Fatalf("it says %q (%v)", lines.Text(), lines.Err())
	}
	if err := child.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = child.Wait() // killed, as it should be
	if !inState(t, store, job.ID, db.SearchRunning)() {
		t.Fatalf("after the kill: %+v", searches(t, store, job.ID))
	}
	heavy := brisk(func(_ context.Context, of db.PlanOf, _ int) (db.PlanHead, error) {
		return db.PlanHead{AsOf: of.AsOf, Finish: noon()}, nil
	})
	heavy.Limit, heavy.Rescue = time.Second, 2*time.Second
	works(t, store, heavy)
	until(t, "the search is done elsewhere", inState(t, store, job.ID, db.SearchDone))
}
