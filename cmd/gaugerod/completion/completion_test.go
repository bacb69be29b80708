package completion_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/google/go-cmp/cmp"

	"gaugerod/cmd/gaugerod/completion"
)

// line is a command line with everything in it that a script must know.
type line struct {
	Plan struct {
		Files  []string `arg:"" help:"Job files." completion:"job file"`
		JSON   bool     `name:"json" help:"Print [JSON]: it's data."`
		Colour string   `enum:"auto,never" default:"auto" short:"c" help:"Colour."`
		Why    string   `help:"Why."`
		Data   string   `help:"Folder." completion:"folder"`
		Secret bool     `hidden:""`
	} `cmd:"" help:"Plan jobs: it's all."`
	Completion struct {
		Shell string `arg:"" enum:"bash,zsh,fish"`
	} `cmd:"" help:"Print a script."`
	Version struct{} `cmd:"" help:"Print the version."`
	Inner   struct{} `cmd:"" hidden:""`
}

func script(t *testing.T, shell string) string {
	t.Helper()
	parser, err := kong.New(&line{}, kong.Name("gaugerod"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := completion.Script(shell, parser.Model)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(s, "secret") || strings.Contains(s, "inner") {
		t.Errorf("%s completes what is hidden", shell)
	}
	return s
}

// folder has files to be completed.
func folder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"house.job.yaml", "my shed.job.yaml", "notes.txt"} {
		if err := os.WriteFile(filepath.Join(dir, name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "jobs"), 0o700); err != nil {
		t.Fatal(err)
	}
	return dir
}

// shell runs a program of a shell in the folder. A shell that is not there fails
// the test: make test installs it.
func shell(t *testing.T, dir, name string, args ...string) []string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%s is needed to test its completion: %v", name, err)
	}
	command := exec.CommandContext(t.Context(), path, args...)
	command.Dir = dir
	command.Env = append(os.Environ(), "HOME="+dir, "XDG_CONFIG_HOME="+dir, "XDG_DATA_HOME="+dir)
	out, err := command.CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return strings.FieldsFunc(string(out), func(r rune) bool { return r == '\n' })
}

// asked are command lines with what completes their last word.
var asked = []struct {
	line []string
	want []string
}{
	{[]string{""}, []string{"plan", "completion", "version"}},
	{[]string{"pl"}, []string{"plan"}},
	{[]string{"plan", "--j"}, []string{"--json"}},
	{[]string{"plan", "--colour", ""}, []string{"auto", "never"}},
	{[]string{"plan", "-c", "n"}, []string{"never"}},
	{[]string{"plan", "--json", "h"}, []string{"house.job.yaml"}},
	{[]string{"plan", "my"}, []string{"my shed.job.yaml"}},
	{[]string{"completion", "f"}, []string{"fish"}},
}

func TestBash(t *testing.T) {
	s := script(t, "bash")
	dir := folder(t)
	for _, a := range append(asked, []struct{ line, want []string }{
		{[]string{"plan", ""}, []string{"house.job.yaml", "jobs", "my shed.job.yaml"}},
		{[]string{"plan", "--data", "n"}, []string{"notes.txt"}},
		{[]string{"plan", "--why", ""}, nil},
		{[]string{"version", ""}, nil},
	}...) {
		words := "gaugerod"
		for _, w := range a.line {
			words += " '" + w + "'"
		}
		got := shell(t, dir, "bash", "--norc", "-c", "compopt() { :; }\n"+s+
			"\nCOMP_WORDS=("+words+")\nCOMP_CWORD=$((${#COMP_WORDS[@]} - 1))\n_gaugerod\nprintf '%s\\n' \"${COMPREPLY[@]}\"")
		same(t, a.line, got, a.want)
	}
}

func TestFish(t *testing.T) {
	dir := folder(t)
	file := filepath.Join(dir, "script.fish")
	if err := os.WriteFile(file, []byte(script(t, "fish")), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, a := range asked {
		words := "gaugerod " + strings.Join(a.line, " ")
		if len(a.line) == 1 && a.line[0] == "" {
			words = "gaugerod "
		}
		got := shell(t, dir, "fish", "--no-config", "-c", "source "+file+"; complete -C '"+words+"'")
		for k := range got {
			got[k], _, _ = strings.Cut(got[k], "\t")
			got[k] = strings.ReplaceAll(got[k], `\ `, " ")
		}
		same(t, a.line, got, a.want)
	}
}

func same(t *testing.T, line, got, want []string) {
	t.Helper()
	got = slices.DeleteFunc(slices.Clone(got), func(s string) bool { return strings.HasPrefix(s, "--help") || s == "-h" })
	slices.Sort(got)
	want = slices.Sorted(slices.Values(want))
	if diff := cmp.Diff(want, got); diff != "" && len(want)+len(got) > 0 {
		t.Errorf("%q: %s", line, diff)
	}
}

// In zsh a completion runs only while somebody types. Here a shell at a
// pseudo-terminal is typed into, and what it shows is read.
func TestZsh(t *testing.T) {
	dir := folder(t)
	file := filepath.Join(dir, "_gaugerod")
	if err := os.WriteFile(file, []byte(script(t, "zsh")), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, a := range asked {
		if len(a.want) > 1 { // a list, whose layout is the shell's
			continue
		}
		typed := "gaugerod " + strings.Join(a.line, " ")
		t.Run(typed, func(t *testing.T) {
			t.Parallel()
			got := strings.Join(shell(t, dir, "zsh", "-f", "-c", `
zmodload zsh/zpty
zpty z zsh -f -i
zpty -w z 'PS1= RPS1= PS2=; unsetopt zle_bracketed_paste; unset zle_bracketed_paste; TERM=dumb; fpath=(`+dir+` $fpath); autoload -U compinit; compinit -u -D; cd `+dir+`; show() { print -r -- "<$BUFFER>"; BUFFER=; zle accept-line }; zle -N show; bindkey "^X" show; print ready\!'
repeat 200; do zpty -r z line; [[ $line == *ready!* && $line != *print* ]] && break; done
zpty -w -n z $'`+typed+`\t'
sleep 0.3
zpty -w -n z $'\x18'
repeat 50; do zpty -r z line; print -r -- "$line"; [[ $line == *'<'*'>'* ]] && break; done
zpty -d z
`), "\n")
			got = strings.ReplaceAll(got, `\ `, " ")
			want := strings.Join(append(slices.Clone(a.line[:len(a.line)-1]), a.want...), " ")
			if !strings.Contains(got, "<gaugerod "+want) {
				t.Errorf("%q became %q", typed, got)
			}
		})
	}
}

func TestAnUnknownShell(t *testing.T) {
	parser, err := kong.New(&line{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := completion.Script("tcl", parser.Model); err == nil || !strings.Contains(err.Error(), "fish") {
		t.Errorf("%v", err)
	}
}
