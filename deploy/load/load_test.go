package load_test

import (
	"fmt"
	"net/http"
	"os"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	vegeta "github.com/tsenart/vegeta/v12/lib"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

func TestMain(m *testing.M) {
	// What the load tool takes of the processors is not there for the service: one is enough
	// for it, and its memory is its own.
	runtime.GOMAXPROCS(1)
	debug.SetGCPercent(400)
	code := m.Run()
	os.RemoveAll(built)
	os.Exit(code)
}

// The load, and what is wanted of the program under it.
const (
	readsEach  = 500 // a second
	writesEach = 50
	wantedRead = 50 * time.Millisecond // the 99th percentile
	wantedPlan = time.Second
	wantedMiB  = 300
)

// length is how long the load lasts: BENCH_LOAD, else a minute.
func length(b *testing.B) time.Duration {
	b.Helper()
	text := os.Getenv("BENCH_LOAD")
	if text == "" {
		return time.Minute
	}
	d, err := time.ParseDuration(text)
	if err != nil {
		b.Fatalf("BENCH_LOAD: %v", err)
	}
	return d
}

// BenchmarkLoad reads pages and answers and changes jobs at steady rates, whatever
// the program makes of it: a request that cannot be sent in time counts from when it
// should have been. All of it runs on the same cores: the program, its Postgres and
// the load tool.
func BenchmarkLoad(b *testing.B) {
	folder := dataFolder(b)
	houses := houses(b)
	begun := time.Now()
	first := serve(b, folder)
	first.fill(houses)
	b.Logf("%d jobs loaded and planned for the first time in %.0f s; at most %.0f MiB resident meanwhile",
		len(houses), time.Since(begun).Seconds(), first.most())
	first.stop()

	s := serve(b, folder)
	var all []*house
	for id, file := range inOrder(houses) {
		job, err := jobfile.Read("", file)
		if err != nil {
			b.Fatal(err)
		}
		all = append(all, s.look(id, job))
	}
	took := length(b)
	warm := newWriter(s, all)
	warm.changeAll(b)
	for b.Loop() {
		for _, share := range shares {
			s.load(all, took, share)
		}
	}
}

// shares are how many hundredths of the load are asked for, one after the other: all of
// it, and what shows how long answers take while the machine has room.
var shares = []int{50, 100}

// inOrder gives the jobs by name, the demo house first.
func inOrder(houses map[scheduler.ID][]byte) func(func(scheduler.ID, []byte) bool) {
	var ids []scheduler.ID
	for id := range houses {
		ids = append(ids, id)
	}
	isRandom := func(id scheduler.ID) bool { return strings.HasPrefix(string(id), "house-") }
	slices.SortFunc(ids, func(a, b scheduler.ID) int {
		if isRandom(a) != isRandom(b) {
			return map[bool]int{true: 1, false: -1}[isRandom(a)]
		}
		return strings.Compare(string(a), string(b))
	})
	return func(yield func(scheduler.ID, []byte) bool) {
		for _, id := range ids {
			if !yield(id, houses[id]) {
				return
			}
		}
	}
}

// fill sends the files and has each job planned.
func (s *service) fill(houses map[scheduler.ID][]byte) {
	s.b.Helper()
	for id, file := range inOrder(houses) {
		s.ask(http.MethodPut, path(id, "file"), file, nil)
		s.ask(http.MethodGet, path(id, "plan"), nil, nil)
	}
}

// load is so many hundredths of the load for so long.
func (s *service) load(all []*house, long time.Duration, share int) {
	var reading, writing vegeta.Metrics
	w := newWriter(s, all)
	program0, postgres0, tool0 := s.processor()
	begun := time.Now()
	var both sync.WaitGroup
	both.Go(func() {
		for r := range s.attacker().Attack(s.readTargets(all), vegeta.ConstantPacer{Freq: readsEach * share / 100, Per: time.Second}, long, "reads") {
			reading.Add(r)
		}
	})
	both.Go(func() {
		for r := range s.attacker().Attack(w.target, vegeta.ConstantPacer{Freq: writesEach * share / 100, Per: time.Second}, long, "writes") {
			writing.Add(r)
			w.follow(r)
		}
	})
	both.Wait()
	w.asking.Wait()
	seconds := time.Since(begun).Seconds()
	program1, postgres1, tool1 := s.processor()
	reading.Close()
	writing.Close()
	fresh := w.freshness()
	say("%d %% of the load on %d processors, %v: %d jobs; program, Postgres and load tool on the same ones", share, runtime.NumCPU(), long, len(all))
	told := func(what string, m *vegeta.Metrics) {
		say("%-22s %6.1f a second, %d in all, %d failed; half within %s, 95 %% within %s, 99 %% within %s, slowest %s",
			what, m.Throughput, m.Requests, m.Requests-uint64(m.StatusCodes["200"]),
			ms(m.Latencies.P50), ms(m.Latencies.P95), ms(m.Latencies.P99), ms(m.Latencies.Max))
		for _, e := range m.Errors[:min(len(m.Errors), 5)] {
			say("  %s", e)
		}
	}
	told(fmt.Sprintf("reads (wanted %d)", readsEach*share/100), &reading)
	told(fmt.Sprintf("writes (wanted %d)", writesEach*share/100), &writing)
	say("%-22s %6d plans; half within %s, 95 %% within %s, 99 %% within %s, slowest %s (wanted: all within %s)",
		"from write to plan", len(w.fresh), ms(fresh(0.5)), ms(fresh(0.95)), ms(fresh(0.99)), ms(fresh(1)), ms(wantedPlan))
	for text, n := range w.wrongs {
		say("  %d times: %s", n, text)
	}
	say("processors taken: program %.2f, Postgres %.2f, load tool %.2f; most memory of the program %.0f MiB (wanted: under %d)",
		(program1-program0)/seconds, (postgres1-postgres0)/seconds, (tool1-tool0)/seconds, s.most(), wantedMiB)
	if share < 100 {
		return
	}
	s.b.ReportMetric(reading.Throughput, "reads/s")
	s.b.ReportMetric(float64(reading.Latencies.P99)/float64(wantedRead), "read-p99/goal")
	s.b.ReportMetric(writing.Throughput, "writes/s")
	s.b.ReportMetric(float64(fresh(1))/float64(wantedPlan), "slowest-plan/goal")
	s.b.ReportMetric(s.most()/wantedMiB, "memory/goal")
	s.b.ReportMetric(float64(len(w.wrongs)+len(reading.Errors)+len(writing.Errors)), "errors")
}

func ms(d time.Duration) string { return fmt.Sprintf("%.1f ms", d.Seconds()*1000) }

func (s *service) attacker() *vegeta.Attacker {
	const told = 300 // bytes of an answer that are kept, to say what went wrong; the rest is read and dropped
	return vegeta.NewAttacker(vegeta.Client(s.client), vegeta.Workers(20), vegeta.MaxWorkers(500), vegeta.MaxBody(told))
}
