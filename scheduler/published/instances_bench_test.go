package published_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"gaugerod/scheduler/instance"
	"gaugerod/scheduler/solve"
)

// families is the open instances by their folders: PSPLIB (Kolisch and Sprecher, EJOR
// 96, 1997), Patterson (1984) and, with most times, ProGen/max (Schwindt).
var families = []string{
	"rcpsp/patterson", "rcpsp/j30", "rcpsp/j60", "rcpsp/j120",
	"rcpsp-max/j10", "rcpsp-max/j20", "rcpsp-max/ubo10", "rcpsp-max/ubo20", "rcpsp-max/ubo50",
}

// BenchmarkInstances prints a table of our solver beside a general one on every nth
// instance of each family, one after the other, with the same limit for both. Ours looks
// for schedules and proofs on two cores; the general solver is given one, because with
// two it mostly came no further here. BENCH_LIMIT is the limit, BENCH_EVERY the n: make bench sets them. The
// instances are not part of the project; GAUGEROD_INSTANCES is their folder.
func BenchmarkInstances(b *testing.B) {
	limit, every := sampling(b)
	folder := os.Getenv("GAUGEROD_INSTANCES")
	if folder == "" {
		folder = filepath.Join("..", "..", "..", "shared", "bench") // beside the checkout
	}
	if _, err := os.Stat(filepath.Join(folder, families[0])); err != nil {
		skip(b, "The open instances are not in "+folder+": set GAUGEROD_INSTANCES to have ours beside a general solver.")
	}
	fmt.Printf("\nEvery %dth instance, %v each; ours on two cores / the general solver on one\n", every, limit)
	fmt.Printf("%-18s %9s %11s %15s %19s\n", "family", "instances", "proven", "% above path", "median seconds")
	for _, family := range families {
		var m match
		for _, file := range sample(b, filepath.Join(folder, family), every) {
			m.play(b, file, limit)
		}
		fmt.Printf("%-18s %s\n", family, m.row())
	}
	fmt.Println("Proven: also that there is no schedule. Above path: the mean over the instances for which both have one.")
	if hasMinizinc() {
		fmt.Println("The general solver is Gecode by way of MiniZinc; its seconds include the reading of the model.")
	} else {
		fmt.Println("minizinc is not installed: ours alone.")
	}
	for b.Loop() { // the table was the work, and is made once
		continue
	}
	b.ReportMetric(0, "ns/op")
}

// skip says why also where no more than the figures are asked for.
func skip(b *testing.B, why string) {
	b.Helper()
	fmt.Println(why)
	b.Skip(why)
}

func sampling(b *testing.B) (limit time.Duration, every int) {
	b.Helper()
	if os.Getenv("BENCH_LIMIT") == "" {
		skip(b, "Ours beside a general solver takes minutes: set BENCH_LIMIT and BENCH_EVERY, as make bench does.")
	}
	limit, err := time.ParseDuration(os.Getenv("BENCH_LIMIT"))
	if err != nil || limit <= 0 {
		b.Fatalf("BENCH_LIMIT is %q: set a time such as 10s", os.Getenv("BENCH_LIMIT"))
	}
	every, err = strconv.Atoi(os.Getenv("BENCH_EVERY"))
	if err != nil || every < 1 {
		b.Fatalf("BENCH_EVERY is %q: set a whole number from 1", os.Getenv("BENCH_EVERY"))
	}
	return limit, every
}

func sample(b *testing.B, folder string, every int) []string {
	b.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil || len(files) == 0 {
		b.Fatalf("no instances in %s: %v", folder, err)
	}
	var some []string
	for k := 0; k < len(files); k += every {
		some = append(some, files[k])
	}
	return some
}

// match is how both solvers fare on some instances: ours first.
type match struct {
	instances int
	proven    [2]int
	above     [2]float64 // sums of percent
	both      int        // instances that are in above
	seconds   [2][]float64
}

func (m *match) play(b *testing.B, file string, limit time.Duration) {
	b.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		b.Fatal(err)
	}
	in, err := instance.Read(file, text)
	if err != nil {
		b.Fatal(err)
	}
	m.instances++
	begun := time.Now()
	r := ours(in, limit)
	m.seconds[0] = append(m.seconds[0], time.Since(begun).Seconds())
	if err := solve.Check(in, &r); err != nil {
		b.Error(err)
	}
	closed := r.Status == solve.Proven || r.Status == solve.Infeasible
	if closed {
		m.proven[0]++
	}
	ends := [2]int64{r.Makespan, r.Makespan}
	if hasMinizinc() {
		ends[1] = m.answer(b, in, &r, closed, limit)
	}
	if ends[0] == none || ends[1] == none || r.Path == 0 {
		return
	}
	m.both++
	for k, end := range ends {
		m.above[k] += 100 * float64(end-r.Path) / float64(r.Path)
	}
}

// answer lets the general solver try, and holds what both say against each other.
func (m *match) answer(b *testing.B, in *instance.Problem, r *solve.Result, closed bool, limit time.Duration) int64 {
	b.Helper()
	begun := time.Now()
	end, proven := theirs(b, in, limit)
	m.seconds[1] = append(m.seconds[1], time.Since(begun).Seconds())
	if proven {
		m.proven[1]++
	}
	shorter := end != none && (r.Makespan == none || end < r.Makespan)
	longer := r.Makespan != none && (end == none || end > r.Makespan)
	if closed && shorter || proven && longer {
		b.Errorf("%s: ours is %s with %d, the general solver says %d, proven %v", in.Name, r.Status, r.Makespan, end, proven)
	}
	return end
}

func (m *match) row() string {
	both := func(format string, values [2]float64) string {
		ours := fmt.Sprintf(format, values[0])
		if !hasMinizinc() {
			return ours
		}
		return ours + " / " + fmt.Sprintf(format, values[1])
	}
	mean := [2]float64{m.above[0] / float64(max(m.both, 1)), m.above[1] / float64(max(m.both, 1))}
	return fmt.Sprintf("%9d %11s %15s %19s", m.instances,
		both("%.0f", [2]float64{float64(m.proven[0]), float64(m.proven[1])}),
		both("%.2f", mean),
		both("%.3f", [2]float64{median(m.seconds[0]), median(m.seconds[1])}))
}

func median(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	slices.Sort(values)
	return values[len(values)/2]
}
