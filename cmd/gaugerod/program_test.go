package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"gaugerod/scheduler/planfile"
)

// program is the built program: these tests run it as people do.
var program string

func TestMain(m *testing.M) { os.Exit(buildAndRun(m)) }

func buildAndRun(m *testing.M) int {
	dir, err := os.MkdirTemp("", "gaugerod-test-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	program = filepath.Join(dir, "gaugerod")
	build := exec.Command("go", "build", "-o", program, "-ldflags", "-X main.version=test", ".")
	if out, err := build.CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "build the program: %v\n%s", err, out)
		return 1
	}
	return m.Run()
}

// outcome is what a run of the program gave.
type outcome struct {
	out, err string
	status   int
}

// call runs the program with nothing of Gaugerod's in its environment.
func call(t *testing.T, in io.Reader, args ...string) outcome {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	command := exec.CommandContext(ctx, program, args...)
	command.Env = append(bare(), "HOME="+t.TempDir())
	var out, errs bytes.Buffer
	command.Stdin, command.Stdout, command.Stderr = in, &out, &errs
	err := command.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatalf("%v: %v", args, err)
	}
	return outcome{out.String(), waiting.ReplaceAllString(errs.String(), ""), command.ProcessState.ExitCode()}
}

// waiting is what the program says when something takes long, as it may on a busy
// machine.
var waiting = regexp.MustCompile(`(?m)^.* … \d+ s\n`)

// bare is the environment without what the program reads from it.
func bare() (env []string) {
	for _, e := range os.Environ() {
		if !strings.HasPrefix(e, "GAUGEROD_") && !strings.HasPrefix(e, "HOME=") {
			env = append(env, e)
		}
	}
	return env
}

const (
	everyFeature = "../../testdata/every-feature.job.yaml"
	demo         = "../../testdata/demo.job.yaml"
)

func TestPlanOfEveryFeature(t *testing.T) {
	got := call(t, nil, "plan", everyFeature)
	if got.status != statusClean || got.err != "" {
		t.Fatalf("status %d: %s", got.status, got.err)
	}
	for _, want := range []string{"Garden studio", "As of Monday 13 April 2026", "Finish:", "Due days", "The work until Sun 3 May (3 weeks)", "Hold points to be released", "Orders", "Windows of access", "What holds the finish", "A computed date is no permission"} {
		if !strings.Contains(got.out, want) {
			t.Errorf("%q is missing in\n%s", want, got.out)
		}
	}
	if strings.Contains(got.out, "\x1b") {
		t.Error("there is colour where there is no terminal")
	}
}

func TestPlanOptions(t *testing.T) {
	for _, c := range []struct {
		args  []string
		want  string // a pattern
		never string
	}{
		{[]string{"--as-of", "2026-04-20"}, `As of Monday 20 April 2026`, "13 April"},
		{[]string{"--weeks", "1"}, `until Sun 19 Apr \(1 week\)`, "Week of Mon 20 Apr"},
		{[]string{"--trade", "windows"}, `only what concerns Window setting`, "What holds the finish"},
		{[]string{"--trade", "Window setting"}, `only what concerns Window setting`, ""},
		{[]string{"--place", "opening-n1"}, `only what lies in Opening N1`, "opening-n2"},
		{[]string{"--why", "opening-n1.set"}, `(?s)Why “Set the window at Opening N1” .* because: `, "Due days"},
		{[]string{"--why", "opening-n1.set", "--json"}, `"held": \[`, "Due days"},
		{[]string{"--checks"}, `(?s)Self-check of Garden studio.*Source: `, "Due days"},
		{[]string{"--checks", "--json"}, `"formula": `, "Due days"},
		{[]string{"--odds"}, `(?s)Tried [0-9]+ times.*Closed in .* of [0-9]+`, "Orders"},
		{[]string{"--odds", "--json"}, `"tries": [0-9]+`, "Orders"},
		{[]string{"--colour", "always"}, "\x1b\\[1m", ""},
		{[]string{"--width", "50"}, `Garden studio`, strings.Repeat("-", 51)},
	} {
		got := call(t, nil, append([]string{"plan", everyFeature}, c.args...)...)
		if got.status == statusBad || got.err != "" {
			t.Errorf("%v: status %d: %s", c.args, got.status, got.err)
		}
		if !regexp.MustCompile(c.want).MatchString(got.out) {
			t.Errorf("%v: %s is missing in\n%s", c.args, c.want, got.out)
		}
		if c.never != "" && strings.Contains(got.out, c.never) {
			t.Errorf("%v: %q should not be in\n%s", c.args, c.never, got.out)
		}
	}
}

func TestPlanAsJSONSatisfiesItsSchema(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(planfile.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	if err := compiler.AddResource("plan.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("plan.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{everyFeature, demo} {
		got := call(t, nil, "plan", "--json", file)
		plan, err := jsonschema.UnmarshalJSON(strings.NewReader(got.out))
		if err != nil {
			t.Fatalf("%s: %v\n%s", file, err, got.err)
		}
		if err := schema.Validate(plan); err != nil {
			t.Errorf("%s: %v", file, err)
		}
		for _, key := range []string{"steps", "waits", "holds", "orders", "windows", "alerts", "driving", "finish", "bound", "proven"} {
			if _, ok := plan.(map[string]any)[key]; !ok {
				t.Errorf("%s: %q is not at the top", file, key)
			}
		}
	}
}

func TestGraveAlertsGiveStatusOne(t *testing.T) {
	for _, args := range [][]string{{"plan", demo}, {"plan", "--json", demo}, {"plan", demo, everyFeature}, {"plan", "--why", "pour", demo}} {
		if got := call(t, nil, args...); got.status != statusGrave || got.err != "" {
			t.Errorf("%v: status %d: %s", args, got.status, got.err)
		}
	}
}

// wrong is a job file with mistakes in it, in a folder of its own.
func wrong(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(everyFeature)
	if err != nil {
		t.Fatal(err)
	}
	bad := strings.Replace(string(text), "takes: 6 days", "takes: 6 fortnights", 1)
	bad = strings.Replace(bad, "by: inspector", "by: inspectr", 1)
	path := filepath.Join(t.TempDir(), "wrong.job.yaml")
	if err := os.WriteFile(path, []byte(bad), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestMistakesAreLocated(t *testing.T) {
	path := wrong(t)
	for _, command := range []string{"check", "plan"} {
		got := call(t, nil, command, path)
		lines := strings.Split(strings.TrimSpace(got.err), "\n")
		if got.status != statusBad || len(lines) != 2 {
			t.Fatalf("%s: status %d:\n%s", command, got.status, got.err)
		}
		located := regexp.MustCompile(`^` + regexp.QuoteMeta(path) + `:\d+:\d+: [^;]+; .+`)
		for _, line := range lines {
			if !located.MatchString(line) {
				t.Errorf("%s: %q does not say where, what, and the mend", command, line)
			}
		}
	}
}

func TestAWrongFileDoesNotHideTheNext(t *testing.T) {
	got := call(t, nil, "check", wrong(t), everyFeature, filepath.Join(t.TempDir(), "none.yaml"))
	if got.status != statusBad || !strings.Contains(got.out, "nothing wrong with") || !strings.Contains(got.err, "there is no file") {
		t.Errorf("status %d:\n%s%s", got.status, got.out, got.err)
	}
}

func TestTheStandardInputIsReadToo(t *testing.T) {
	text, err := os.ReadFile(everyFeature)
	if err != nil {
		t.Fatal(err)
	}
	if got := call(t, bytes.NewReader(text), "check", "-"); got.status != statusClean {
		t.Errorf("status %d: %s", got.status, got.err)
	}
	got := call(t, strings.NewReader("job: [\n"), "check", "-")
	if got.status != statusBad || !strings.Contains(got.err, "standard input:") {
		t.Errorf("status %d: %s", got.status, got.err)
	}
}

func TestWrongCommandLines(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"plna"}, "plan"},
		{[]string{"plan"}, "expected"},
		{[]string{"plan", everyFeature, "--weks", "2"}, "--weeks"},
		{[]string{"plan", everyFeature, "--weeks", "0"}, "from 1 to 520"},
		{[]string{"plan", everyFeature, "--as-of", "13.4.2026"}, "2026-05-18"},
		{[]string{"plan", everyFeature, "--why", "opening-n1.sett"}, "opening-n1.set"},
		{[]string{"plan", everyFeature, "--trade", "framin"}, "did you mean framing"},
		{[]string{"plan", everyFeature, "--place", "moon"}, "there are site, house"},
		{[]string{"plan", everyFeature, "--why", "clad", "--checks"}, "--checks"},
		{[]string{"plan", everyFeature, "--odds", "--checks"}, "--odds"},
		{[]string{"plan", t.TempDir()}, "cannot be read"},
		{[]string{"completion", "tcl"}, "fish"},
		{[]string{"serve", "--listen", "nowhere"}, "--listen"},
		{[]string{"serve", "--level", "loud"}, "level"},
	} {
		got := call(t, nil, c.args...)
		if got.status != statusBad || !strings.Contains(got.err, c.want) {
			t.Errorf("%v: status %d: %q does not say %q", c.args, got.status, got.err, c.want)
		}
	}
}

func TestHelpHasAnExampleForEachCommand(t *testing.T) {
	all := call(t, nil, "--help")
	if all.status != statusClean || call(t, nil).out != all.out {
		t.Error("no words at all should give the help")
	}
	for _, command := range []string{"plan", "check", "schema", "load", "serve", "migrate", "export", "import", "ready", "version", "completion"} {
		if !strings.Contains(all.out, "\n  "+command+" ") {
			t.Errorf("the help does not name %s", command)
		}
		got := call(t, nil, command, "--help")
		if got.status != statusClean || !strings.Contains(got.out, "Example:\n\n    gaugerod "+command) {
			t.Errorf("%s: status %d:\n%s", command, got.status, got.out)
		}
	}
}

func TestSchemas(t *testing.T) {
	for _, args := range [][]string{{"schema"}, {"schema", "--plan"}} {
		got := call(t, nil, args...)
		var schema map[string]any
		if err := json.Unmarshal([]byte(got.out), &schema); err != nil || schema["$schema"] == nil {
			t.Errorf("%v: %v", args, err)
		}
	}
	if call(t, nil, "schema").out == call(t, nil, "schema", "--plan").out {
		t.Error("both schemas are the same")
	}
}

func TestVersion(t *testing.T) {
	if got := call(t, nil, "version"); got.out != "gaugerod test\n" {
		t.Errorf("%q", got.out)
	}
}

func TestCompletionOfTheRealCommandLine(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish"} {
		got := call(t, nil, "completion", shell)
		if got.status != statusClean || !strings.Contains(got.out, "as-of") {
			t.Errorf("%s: status %d", shell, got.status)
		}
	}
}

func TestFortyMistakesGiveFortyLines(t *testing.T) {
	const mistakes = "../../testdata/mistakes.job.yaml"
	got := call(t, nil, "check", mistakes)
	lines := strings.Split(strings.TrimSpace(got.err), "\n")
	if got.status != statusBad || len(lines) != 40 {
		t.Fatalf("status %d, %d lines:\n%s", got.status, len(lines), got.err)
	}
	located := regexp.MustCompile(`^` + regexp.QuoteMeta(mistakes) + `:\d+:\d+: .+; .+`)
	for _, line := range lines {
		if !located.MatchString(line) {
			t.Errorf("%q", line)
		}
	}
}

// The whole process: start, read, plan, print. It is to take under 200 ms.
func BenchmarkPlanOfTheDemo(b *testing.B) {
	for b.Loop() {
		err := exec.Command(program, "plan", demo).Run()
		if exit, ok := errors.AsType[*exec.ExitError](err); err != nil && (!ok || exit.ExitCode() != statusGrave) {
			b.Fatal(err)
		}
	}
}
