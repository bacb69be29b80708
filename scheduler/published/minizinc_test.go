package published_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler/instance"
	"gaugerod/scheduler/solve"
)

// needMinizinc skips the test where MiniZinc, a language for constraint problems that
// comes with a general solver (Gecode), is not installed, and fails it where the whole
// test run is to be trusted.
func needMinizinc(t *testing.T) {
	t.Helper()
	if hasMinizinc() {
		return
	}
	const missing = "minizinc is not installed; on Debian it is in the package minizinc"
	if os.Getenv("CI") == "true" {
		t.Fatal(missing)
	}
	t.Skip(missing)
}

func hasMinizinc() bool {
	_, err := exec.LookPath("minizinc")
	return err == nil
}

// ours is what our solver finds within a limit.
func ours(in *instance.Problem, limit time.Duration) solve.Result {
	begun := time.Now()
	return solve.Instance(in, func() bool { return time.Since(begun) > limit })
}

// minizinc is what the general solver says, on one core within a limit, to one of our
// models in testdata with some data.
func minizinc(t testing.TB, model, data string, limit time.Duration) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "data.dzn")
	if err := os.WriteFile(file, []byte(data), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), limit+time.Minute)
	defer cancel()
	var out, complaints bytes.Buffer
	cmd := exec.CommandContext(ctx, "minizinc", "--solver", "gecode", "--fzn-flags", "--nogoods 1",
		"--time-limit", fmt.Sprint(limit.Milliseconds()), "--intermediate", filepath.Join("testdata", model), file)
	cmd.Stdout, cmd.Stderr = &out, &complaints
	if err := cmd.Run(); err != nil {
		t.Fatalf("minizinc: %v\n%s%s", err, &out, &complaints)
	}
	if strings.Contains(out.String(), "=====ERROR=====") {
		t.Fatalf("minizinc: %s%s", &out, &complaints)
	}
	return out.String()
}

// What the general solver says beside the values of a schedule.
const (
	impossible  = "=====UNSATISFIABLE====="
	unknownToIt = "=====UNKNOWN====="
	noneBetter  = "=========="
)

// theirs is the earliest end that the general solver finds within a limit, none where
// it finds no schedule, and whether it has proven that: it says so, or ends by itself
// with a schedule, as it sometimes does when it learns from restarts.
func theirs(t testing.TB, in *instance.Problem, limit time.Duration) (end int64, proven bool) {
	t.Helper()
	end = none
	begun := time.Now()
	for line := range strings.Lines(minizinc(t, "shortest.mzn", oneData(in), limit)) {
		switch line = strings.TrimSpace(line); line {
		case impossible, noneBetter:
			proven = true
		case unknownToIt, "----------", "":
		default:
			var err error
			if end, err = strconv.ParseInt(line, 10, 64); err != nil {
				t.Fatalf("%s: minizinc says %q", in.Name, line)
			}
		}
	}
	return end, proven || end != none && time.Since(begun) < limit
}

// oneData is the data of an instance for the model shortest.mzn.
func oneData(in *instance.Problem) string {
	var d data
	d.number("steps", len(in.Length))
	d.number("lags", len(in.Lags))
	d.number("limits", len(in.Size))
	d.number("latest", int(latestEnd(in)))
	var first, second, least []int64
	for _, l := range in.Lags {
		first, second, least = append(first, int64(l.From+1)), append(second, int64(l.To+1)), append(least, l.Least)
	}
	d.list("length", in.Length)
	d.list("first", first)
	d.list("second", second)
	d.list("least", least)
	d.list("size", in.Size)
	d.table("use", joined(in.Use), "limits", "steps")
	return d.String()
}

// latestEnd is by when the shortest schedule has ended, if there is any: in it every
// moment is one of some step's length, or of a wait for one.
func latestEnd(in *instance.Problem) int64 {
	longest := append([]int64(nil), in.Length...)
	for _, l := range in.Lags {
		longest[l.From] = max(longest[l.From], l.Least)
	}
	sum := int64(0)
	for _, v := range longest {
		sum += v
	}
	return sum
}

func joined(rows [][]int64) []int64 {
	var all []int64
	for _, row := range rows {
		all = append(all, row...)
	}
	return all
}

// data is the values of a model's parameters as MiniZinc reads them.
type data struct{ strings.Builder }

func (d *data) number(name string, value int) { fmt.Fprintf(d, "%s = %d;\n", name, value) }

func (d *data) list(name string, values []int64) {
	fmt.Fprintf(d, "%s = %s;\n", name, strings.ReplaceAll(fmt.Sprint(values), " ", ", "))
}

func (d *data) table(name string, values []int64, sides ...string) {
	fmt.Fprintf(d, "%s = array%dd(1..%s, %s);\n", name, len(sides), strings.Join(sides, ", 1.."), strings.ReplaceAll(fmt.Sprint(values), " ", ", "))
}
