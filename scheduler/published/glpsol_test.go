package published_test

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gaugerod/scheduler"
)

// needGlpsol skips the test where the linear-program solver of GLPK is not
// installed, and fails it where the whole test run is to be trusted.
func needGlpsol(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("glpsol"); err == nil {
		return
	}
	const missing = "glpsol is not installed; on Debian it is in the package glpk-utils"
	if os.Getenv("CI") == "true" {
		t.Fatal(missing)
	}
	t.Skip(missing)
}

// program is the earliest or latest dates of a job in real time as a linear
// program: the least or greatest sum of starts with which the kept waits hold. As
// the least dates are least for every step at once, and the greatest greatest, the
// sum has them as its only optimum.
type program struct {
	job      *scheduler.Job
	keep     func(wait int) bool // nil: every wait
	keepMost func(wait int) bool // nil: every most time
	by       int64               // not 0: the latest dates with which all is finished by this minute
}

// solve is the start of each task in minutes from the job's start, or feasible
// false where no dates satisfy the waits.
func (p program) solve(t *testing.T) (starts []int64, feasible bool) {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "dates.lp"), filepath.Join(dir, "dates.sol")
	if err := os.WriteFile(in, p.text(), 0o600); err != nil {
		t.Fatal(err)
	}
	said, err := exec.CommandContext(t.Context(), "glpsol", "--lp", in, "--nopresol", "-w", out).CombinedOutput()
	if err != nil {
		t.Fatalf("glpsol: %v\n%s", err, said)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return readSolution(t, text, len(p.job.Tasks))
}

// text is the program as glpsol reads it: one start a task, and for each wait
// to - from >= least and to - from <= most, where the finish is the start and the
// task's length.
func (p program) text() []byte {
	var b bytes.Buffer
	b.WriteString("Minimize\n sum:")
	sign := '+'
	if p.by != 0 {
		sign = '-'
	}
	node := map[scheduler.ID]int{}
	for k := range p.job.Tasks {
		node[p.job.Tasks[k].ID] = k
		fmt.Fprintf(&b, " %c s%d\n", sign, k)
	}
	b.WriteString("Subject To\n")
	for k, w := range p.job.Waits {
		from, to := node[w.From.Step], node[w.To.Step]
		if from == to || p.keep != nil && !p.keep(k) {
			continue
		}
		shift := p.offset(from, w.From.End) - p.offset(to, w.To.End)
		fmt.Fprintf(&b, " least%d: s%d - s%d >= %d\n", k, to, from, minutesOf(p.job, w.Least)+shift)
		if w.Most != nil && (p.keepMost == nil || p.keepMost(k)) {
			fmt.Fprintf(&b, " most%d: s%d - s%d <= %d\n", k, to, from, minutesOf(p.job, *w.Most)+shift)
		}
	}
	b.WriteString(" some: s0 >= 0\nBounds\n")
	for k := range p.job.Tasks {
		fmt.Fprintf(&b, " s%d >= 0\n", k)
		if p.by != 0 {
			fmt.Fprintf(&b, " s%d <= %d\n", k, p.by-p.offset(k, scheduler.Finish))
		}
	}
	b.WriteString("End\n")
	return b.Bytes()
}

func (p program) offset(task int, end scheduler.End) int64 {
	if end == scheduler.Start {
		return 0
	}
	return minutesOf(p.job, p.job.Tasks[task].Takes)
}

// readSolution reads the file that glpsol writes: "s bas rows columns primal dual
// objective", then "j column status value …", where the primal status is f for
// feasible and n or i for no feasible dates.
func readSolution(t *testing.T, text []byte, tasks int) ([]int64, bool) {
	t.Helper()
	starts := make([]int64, tasks)
	feasible, read := false, 0
	lines := bufio.NewScanner(bytes.NewReader(text))
	for lines.Scan() {
		words := strings.Fields(lines.Text())
		switch {
		case len(words) >= 7 && words[0] == "s":
			switch words[4] {
			case "f":
				feasible = true
			case "n", "i":
				return nil, false
			default:
				t.Fatalf("glpsol left the question open: %s", lines.Text())
			}
			if words[5] != "f" {
				t.Fatalf("glpsol did not reach the optimum: %s", lines.Text())
			}
		case len(words) >= 4 && words[0] == "j":
			column, err := strconv.Atoi(words[1])
			if err != nil {
				t.Fatal(err)
			}
			value, err := strconv.ParseFloat(words[3], 64)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(value-math.Round(value)) > 1e-6 {
				t.Fatalf("start %d is %g minutes, which is not whole", column, value)
			}
			starts[column-1] = int64(math.Round(value))
			read++
		}
	}
	if feasible && read != tasks {
		t.Fatalf("glpsol wrote %d starts of %d", read, tasks)
	}
	return starts, feasible
}
