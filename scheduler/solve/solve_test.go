package solve_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"gaugerod/scheduler/instance"
	"gaugerod/scheduler/solve"
)

// library is the folder of the open instances: PSPLIB (Kolisch and Sprecher, EJOR 96,
// 1997), Patterson (1984) and ProGen/max (Schwindt), with best known values. It is not
// part of the project; set GAUGEROD_INSTANCES where it is elsewhere.
func library(t testing.TB) string {
	t.Helper()
	folder := os.Getenv("GAUGEROD_INSTANCES")
	if folder == "" {
		folder = filepath.Join("..", "..", "..", "shared", "bench") // beside the checkout
	}
	if _, err := os.Stat(filepath.Join(folder, "best_known.csv")); err != nil {
		t.Skipf("the open instances are not in %s: skipped", folder)
	}
	return folder
}

// bounds are the best known lower and upper bound; both -1: proven infeasible.
type bounds struct{ lower, upper int64 }

func bestKnown(t testing.TB, folder string) map[string]bounds {
	t.Helper()
	f, err := os.Open(filepath.Join(folder, "best_known.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]bounds{}
	for _, row := range rows[1:] {
		if row[1] == "infeasible" {
			known[row[0]] = bounds{-1, -1}
			continue
		}
		lower, _ := strconv.ParseInt(row[1], 10, 64)
		upper, _ := strconv.ParseInt(row[2], 10, 64)
		known[row[0]] = bounds{lower, upper}
	}
	return known
}

// TestOpenInstances takes every nth instance of the quick families, each to its
// proof, and holds the makespan against the best known one.
func TestOpenInstances(t *testing.T) {
	folder := library(t)
	known := bestKnown(t, folder)
	for family, every := range map[string]int{
		"rcpsp/patterson": 4, "rcpsp/j30": 24, "rcpsp-max/j10": 9, "rcpsp-max/ubo10": 5, "rcpsp-max/ubo20": 5,
	} {
		files, err := filepath.Glob(filepath.Join(folder, family, "*"))
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %d files", family, err, len(files))
		}
		for k := 0; k < len(files); k += every {
			data, err := os.ReadFile(files[k])
			if err != nil {
				t.Fatal(err)
			}
			in, err := instance.Read(files[k], data)
			if err != nil {
				t.Fatal(err)
			}
			var asked atomic.Int32
			r := solve.Instance(in, func() bool { return asked.Add(1) > 600 })
			if err := solve.Check(in, &r); err != nil {
				t.Error(err)
			}
			judge(t, family+"/"+filepath.Base(files[k]), &r, known)
		}
	}
}

func judge(t *testing.T, name string, r *solve.Result, known map[string]bounds) {
	t.Helper()
	b, ok := known[name]
	switch {
	case !ok:
		t.Errorf("%s is not among the best known", name)
	case b.lower < 0 && r.Makespan >= 0, b.lower >= 0 && r.Status == solve.Infeasible:
		t.Errorf("%s: %s, makespan %d; best known %d to %d", name, r.Status, r.Makespan, b.lower, b.upper)
	case r.Makespan >= 0 && r.Makespan < b.lower, r.Status == solve.Proven && r.Makespan > b.upper, r.Bound > b.upper && b.upper >= 0:
		t.Errorf("%s: %s, makespan %d, bound %d; best known %d to %d", name, r.Status, r.Makespan, r.Bound, b.lower, b.upper)
	case r.Status == solve.Open || r.Status == solve.Unknown:
		t.Logf("%s: open after %d dead ends", name, r.DeadEnds)
	}
}

// pair is two steps that share one resource.
const pair = `4 1
1
0 0 2 2 3
3 1 1 4
4 1 1 4
0 0 0
`

// tight has no schedule: step 2 starts between 1 and 2 after step 1, which has the
// resource for 3.
const tight = "2\t1\t0\t0\n0 1 2 1 2 [0] [0]\n1 1 2 2 3 [1] [3]\n2 1 2 1 3 [-2] [3]\n3 1 0\n0 1 0 0\n1 1 3 1\n2 1 3 1\n3 1 0 0\n1\n"

func read(t *testing.T, name, text string) *instance.Problem {
	t.Helper()
	in, err := instance.Read(name, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func TestTwoShareOneResource(t *testing.T) {
	in := read(t, "pair.rcp", pair)
	r := solve.Instance(in, nil)
	if r.Status != solve.Proven || r.Makespan != 7 || r.Bound != 7 || r.Path != 4 {
		t.Errorf("result %+v", r)
	}
	if err := solve.Check(in, &r); err != nil {
		t.Error(err)
	}
}

func TestInfeasible(t *testing.T) {
	if r := solve.Instance(read(t, "tight.sch", tight), nil); r.Status != solve.Infeasible {
		t.Errorf("result %+v", r)
	}
	loop := strings.Replace(tight, "[-2]", "[-0]", 1)
	if r := solve.Instance(read(t, "loop.sch", loop), nil); r.Status != solve.Infeasible {
		t.Errorf("a loop: %+v", r)
	}
	overdrawn := strings.Replace(pair, "3 1 1 4", "3 2 1 4", 1)
	if r := solve.Instance(read(t, "overdrawn.rcp", overdrawn), nil); r.Status != solve.Infeasible {
		t.Errorf("a step that takes more than there is: %+v", r)
	}
}

func TestCheckFindsBrokenSchedules(t *testing.T) {
	in := read(t, "pair.rcp", pair)
	for _, start := range [][]int64{{0, 0, 2, 7}, {0, 0, 3, 6}, {0, -1, 3, 7}, {0, 0, 3}, {0, 0, 3, 9}} {
		if solve.Check(in, &solve.Result{Makespan: 7, Start: start}) == nil {
			t.Errorf("%v went through", start)
		}
	}
}
