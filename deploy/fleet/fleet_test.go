// Package fleet is only tests: several instances of the program over one Postgres,
// behind the proxy with the settings of deploy, while all of them break.
package fleet

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"sync"
	"syscall"
	"testing"
	"time"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// program is the built program: GAUGEROD_PROGRAM names another. built is the folder
// that was made for it.
var program, built string

func TestMain(m *testing.M) { os.Exit(buildAndRun(m)) }

func buildAndRun(m *testing.M) int {
	if program = os.Getenv("GAUGEROD_PROGRAM"); program != "" {
		return m.Run()
	}
	folder, err := os.MkdirTemp("", "gaugerod-fleet-program-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(folder)
	built = folder
	program = filepath.Join(folder, "gaugerod")
	if out, err := exec.Command("go", "build", "-o", program, "gaugerod/cmd/gaugerod").CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "build the program: %v\n%s", err, out)
		return 1
	}
	return m.Run()
}

// fleet is all that runs.
type fleet struct {
	folder    string
	postgres  *postgres
	instances []*instance
	proxy     *proxy
}

// raise starts everything and has it taken down after the test.
func raise(t *testing.T, size int) *fleet {
	t.Helper()
	f := &fleet{folder: folderOf(t)}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	t.Cleanup(stop)
	context.AfterFunc(ctx, func() {
		if t.Context().Err() == nil { // interrupted, not over
			os.RemoveAll(f.folder)
			os.RemoveAll(built)
			os.Exit(1) // what was started ends with us
		}
	})
	var err error
	if f.postgres, err = newPostgres(f.folder); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.postgres.process.end(syscall.SIGINT) })
	addresses, err := freePorts(size)
	if err != nil {
		t.Fatal(err)
	}
	for k, address := range addresses {
		f.instances = append(f.instances, newInstance(f.folder, fmt.Sprint("instance-", k+1), address, f.postgres.address(), "https://127.0.0.1"))
	}
	t.Cleanup(func() {
		for _, i := range f.instances {
			if i.process != nil {
				i.process.signal(syscall.SIGCONT)
				i.process.end(syscall.SIGTERM)
			}
		}
	})
	var starting sync.WaitGroup
	for _, i := range f.instances { // all at once: one of them makes the schema
		starting.Go(func() {
			if err := i.begin(); err != nil {
				t.Errorf("%v\n%s", err, tail(filepath.Join(f.folder, i.name+".log"), 20))
			}
		})
	}
	starting.Wait()
	if t.Failed() {
		t.FailNow()
	}
	if f.proxy, err = newProxy(f.folder, f.instances); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.proxy.process.end(syscall.SIGTERM) })
	return f
}

// open is a store on the database of the fleet.
func (f *fleet) open(t *testing.T) *db.Store {
	t.Helper()
	store, err := db.Open(t.Context(), f.postgres.address(), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(store.Close)
	return store
}

// load puts jobs into the database, all alike but for the name, and gives their names.
func load(t *testing.T, store *db.Store, count int) []scheduler.ID {
	t.Helper()
	const file = "../../testdata/every-feature.job.yaml"
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var names []scheduler.ID
	for k := range count {
		job, err := jobfile.Read(file, text)
		if err != nil {
			t.Fatal(err)
		}
		job.ID = scheduler.ID(fmt.Sprint("studio-", k+1))
		if _, err := store.Put(t.Context(), job, db.Edit{By: db.Author{Name: "fleet"}}); err != nil {
			t.Fatal(err)
		}
		names = append(names, job.ID)
	}
	return names
}

// scale is how much of everything there is.
type scale struct {
	clients, jobs int
	lasts         time.Duration
	pause         time.Duration // of a client between two changes, about
	gap           time.Duration // between two faults, about
}

// scaleOf is a short run, and with GAUGEROD_SOAK one of that length with many clients.
func scaleOf(t *testing.T) scale {
	t.Helper()
	text := os.Getenv("GAUGEROD_SOAK")
	if text == "" {
		return scale{clients: 8, jobs: 3, lasts: 12 * time.Second, pause: 100 * time.Millisecond, gap: 700 * time.Millisecond}
	}
	lasts, err := time.ParseDuration(text)
	if err != nil {
		t.Fatal(err)
	}
	return scale{clients: 50, jobs: 4, lasts: lasts, pause: 500 * time.Millisecond, gap: 3 * time.Second}
}

func seedOf(t *testing.T) uint64 {
	t.Helper()
	text := os.Getenv("GAUGEROD_SEED")
	if text == "" {
		return rand.Uint64()
	}
	seed, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return seed
}

// noted are the steps of whose records the clients write the notes: few, so that they
// get into each other's way. Of those that are begun they write what remains, too,
// which makes another plan.
var noted = map[string]bool{"frame": true, "windows.making": true, "windows.delivery": false}

// TestFaults lets clients write through the proxy while instances are killed, stopped
// and frozen, Postgres is restarted and crashes, and connections are cut. Then every
// change that was acknowledged is there, once, and all see the same.
func TestFaults(t *testing.T) {
	sc, seed := scaleOf(t), seedOf(t)
	t.Logf("%d clients, %d jobs, %s, GAUGEROD_SEED=%d", sc.clients, sc.jobs, sc.lasts, seed)
	f := raise(t, 3)
	store := f.open(t)
	jobs := load(t, store, sc.jobs)
	tally := &tally{}
	clients := f.clients(t, sc, jobs, tally)

	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var listening, writing sync.WaitGroup
	defer listening.Wait()
	defer cancel()
	stop := make(chan struct{})
	breaking, enough := context.WithTimeout(t.Context(), sc.lasts)
	defer enough()
	for _, c := range clients {
		listening.Go(func() { c.listening(ctx) })
		writing.Go(func() {
			if err := c.writing(ctx, stop, sc.pause); err != nil {
				t.Error(err)
				enough()
			}
		})
	}
	faults := &faults{
		random: rand.New(rand.NewPCG(seed, 1)), gap: sc.gap, instances: f.instances, postgres: f.postgres,
		tally: tally, broken: map[*instance]bool{},
	}
	if err := faults.run(breaking); err != nil {
		t.Error(err)
	}
	close(stop)
	patience := time.AfterFunc(2*time.Minute, cancel) // everything runs again: nobody has to wait long
	writing.Wait()
	patience.Stop()

	streams := 0
	for _, c := range clients {
		c.seen.Lock()
		streams += c.seen.streams
		c.seen.Unlock()
	}
	t.Logf("%s; %d event streams", tally, streams)
	f.look(t, store, jobs, clients, tally)
	if t.Failed() {
		for _, i := range f.instances {
			t.Logf("%s:\n%s", i.name, troubles(i.process.said, 20))
		}
		t.Logf("proxy:\n%s", tail(f.proxy.process.said, 20))
		t.Logf("Postgres:\n%s", tail(f.postgres.process.said, 20))
	}
}

// clients are signed in, each with a session of its own.
func (f *fleet) clients(t *testing.T, sc scale, jobs []scheduler.ID, tally *tally) []*client {
	t.Helper()
	secret, err := f.instances[0].secret()
	if err != nil {
		t.Fatal(err)
	}
	var all []*client
	for k := range sc.clients {
		c := newClient(f.proxy, k, string(jobs[k%len(jobs)]), tally)
		t.Cleanup(c.http.CloseIdleConnections)
		if k > 0 {
			if secret, err = all[0].invite(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		if err := c.signIn(t.Context(), secret); err != nil {
			t.Fatal(err)
		}
		all = append(all, c)
	}
	return all
}
