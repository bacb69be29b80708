package main

import (
	"os"
	"strings"
	"testing"
)

// printed is a command that the README shows, and what it says the command prints.
type printed struct {
	command string
	prints  [][]string // runs of lines; … stands between them
	cut     bool       // more follows than is shown
}

const shown, gap = "    ", "…"

// examplesOf are the commands of this program in a text.
func examplesOf(text string) (all []printed) {
	var e *printed
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		code, is := strings.CutPrefix(line, shown)
		command, begins := strings.CutPrefix(code, "$ ")
		switch {
		case !is && line != "":
			e = nil
		case is && begins:
			e = nil
			if args, ours := strings.CutPrefix(command, "gaugerod "); ours {
				all = append(all, printed{command: args, prints: [][]string{nil}})
				e = &all[len(all)-1]
			}
		case e == nil:
		case strings.TrimSpace(code) == gap:
			e.prints, e.cut = append(e.prints, nil), true
		default:
			last := len(e.prints) - 1
			e.prints[last], e.cut = append(e.prints[last], code), e.cut && code == ""
		}
	}
	return all
}

// missing is the first run of lines that an output does not have in its place.
func (e *printed) missing(output string) []string {
	lines := strings.Split(strings.Trim(output, "\n"), "\n")
	for n, run := range e.prints {
		for len(run) > 0 && run[len(run)-1] == "" {
			run = run[:len(run)-1] // what parts the example from the text after it
		}
		at := 0
		for at+len(run) <= len(lines) && !same(lines[at:at+len(run)], run) {
			at++
		}
		if at+len(run) > len(lines) || n == 0 && at > 0 {
			return run
		}
		lines = lines[at+len(run):]
	}
	if !e.cut && len(lines) > 0 {
		return []string{"the end, instead of " + lines[0]}
	}
	return nil
}

func same(a, b []string) bool {
	for k := range a {
		if strings.TrimRight(a[k], " ") != strings.TrimRight(b[k], " ") {
			return false
		}
	}
	return true
}

// TestTheExamplesOfTheREADME runs each command that the README shows, and finds what it
// shows in what is printed.
func TestTheExamplesOfTheREADME(t *testing.T) {
	t.Chdir("../..")
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	run := 0
	for _, e := range examplesOf(string(text)) {
		args := strings.Fields(e.command)
		if args[0] == "serve" {
			continue // it goes on until it is stopped; service_test.go has it
		}
		run++
		got := inside(t, t.Context(), args...)
		printed := got.out + waiting.ReplaceAllString(got.err, "")
		if want := e.missing(printed); want != nil {
			t.Errorf("gaugerod %s does not print, where the README has it:\n%s\n\nbut:\n%.3000s", e.command, strings.Join(want, "\n"), printed)
		}
	}
	if run < 3 {
		t.Errorf("only %d examples were found", run)
	}
}

// TestTheJobFileOfTheREADME: nothing is wrong with what a reader may take to begin from.
func TestTheJobFileOfTheREADME(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, after, begins := strings.Cut(string(text), "```yaml\n")
	file, _, ends := strings.Cut(after, "```\n")
	if !begins || !ends {
		t.Fatal("the README shows no job file")
	}
	if got := call(t, strings.NewReader(file), "check", "-"); got.status != statusClean {
		t.Errorf("status %d: %s%s", got.status, got.out, got.err)
	}
}
