package api

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// threatHeading begins the section of DEVELOPERS.md with the threat model.
const threatHeading = "Threats"

// TestThreatModel: each line of the threat model names a test, and there is one of
// that name.
func TestThreatModel(t *testing.T) {
	text, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	begun := regexp.MustCompile(`(?m)^##+ (\d+\. )?` + threatHeading + `$`).FindIndex(text)
	if begun == nil {
		t.Fatalf("DEVELOPERS.md has no section %q", threatHeading)
	}
	section := string(text[begun[1]:])
	if end := regexp.MustCompile(`(?m)^##? `).FindStringIndex(section); end != nil {
		section = section[:end[0]]
	}
	tests := everyTest(t)
	lines := 0
	for line := range strings.SplitSeq(section, "\n") {
		cells := strings.Split(strings.Trim(line, "| "), "|")
		if !strings.HasPrefix(line, "|") || strings.HasPrefix(line, "| ---") || strings.HasPrefix(line, "| threat") {
			continue
		}
		lines++
		named := regexp.MustCompile(`Test[A-Z]\w*`).FindAllString(cells[len(cells)-1], -1)
		if len(named) == 0 {
			t.Errorf("no test covers: %s", line)
		}
		for _, name := range named {
			if !tests[name] {
				t.Errorf("there is no %s, which covers: %s", name, line)
			}
		}
	}
	if lines < 20 {
		t.Errorf("the threat model has %d lines", lines)
	}
}

// everyTest is the names of all tests of the module.
func everyTest(t *testing.T) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^func (Test[A-Z]\w*)\(t \*testing\.T\)`)
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		for _, m := range declared.FindAllSubmatch(text, -1) {
			names[string(m[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}
