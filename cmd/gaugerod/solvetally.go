package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"gaugerod/scheduler/solve"
)

// solveTally sums up the lines of a run.
type solveTally struct {
	known                      map[string]int64 // best known upper bound, by folder and name
	proven, infeasible, open   int
	abovePath, aboveKnown      float64 // sums of percent
	withPath, withKnown, ahead int
	took                       []time.Duration
}

func (t *solveTally) add(file string, r *solve.Result, took time.Duration) {
	t.took = append(t.took, took)
	switch r.Status {
	case solve.Proven:
		t.proven++
	case solve.Infeasible:
		t.infeasible++
	default:
		t.open++
	}
	if r.Makespan < 0 {
		return
	}
	if r.Path > 0 {
		t.withPath++
		t.abovePath += 100 * float64(r.Makespan-r.Path) / float64(r.Path)
	}
	if best, ok := t.known[knownName(file)]; ok && best > 0 {
		t.withKnown++
		t.aboveKnown += 100 * float64(r.Makespan-best) / float64(best)
		if r.Makespan < best {
			t.ahead++
		}
	}
}

func (t *solveTally) print(s streams) {
	slices.Sort(t.took)
	fmt.Fprintf(s.out, "\n%d instances: %d proven, %d infeasible, %d open; median %.3f s, longest %.3f s\n",
		len(t.took), t.proven, t.infeasible, t.open, t.took[len(t.took)/2].Seconds(), t.took[len(t.took)-1].Seconds())
	if t.withPath > 0 {
		fmt.Fprintf(s.out, "%.2f %% above the longest path on average\n", t.abovePath/float64(t.withPath))
	}
	if t.withKnown > 0 {
		fmt.Fprintf(s.out, "%.2f %% above the best known makespan on average of %d; %d better than it\n", t.aboveKnown/float64(t.withKnown), t.withKnown, t.ahead)
	}
}

// knownName is a file's folder and name, by which tables of best known values go.
func knownName(file string) string {
	return filepath.Base(filepath.Dir(file)) + "/" + filepath.Base(file)
}

// readKnown reads a table whose first column names an instance and whose third is
// its best known makespan. Other rows are passed over.
func readKnown(path string) (map[string]int64, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", path, err)
	}
	known := map[string]int64{}
	for _, row := range rows {
		if len(row) < 3 {
			continue
		}
		if best, err := strconv.ParseInt(row[2], 10, 64); err == nil {
			known[knownName(row[0])] = best
		}
	}
	return known, nil
}
