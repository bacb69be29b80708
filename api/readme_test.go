package api

import (
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"
)

var (
	askedAt = regexp.MustCompile(`http://127\.0\.0\.1:8433(/\S+)`)
	sentIn  = regexp.MustCompile(`-d '([^']*)'`)
)

// TestTheRequestsOfTheREADME sends what the README has a reader send of the demo job, one
// after the other, and holds each answer that it shows against the one that comes.
func TestTheRequestsOfTheREADME(t *testing.T) {
	s := newSite(t)
	demo, err := os.ReadFile("../testdata/demo.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s.text(http.StatusOK, "PUT", "/api/jobs/slope-house/file", string(demo), header("Content-Type", yamlType))
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.ReplaceAll(string(text), "\\\n", " "), "\n")
	sent, shown := 0, 0
	for k, line := range lines {
		at := askedAt.FindStringSubmatch(line)
		if !strings.HasPrefix(line, "    $ curl ") || at == nil || strings.HasSuffix(at[1], "/sessions") { // that secret is nobody's
			continue
		}
		sent++
		method, body := "GET", ""
		if d := sentIn.FindStringSubmatch(line); d != nil {
			method, body = "POST", d[1]
		}
		got := s.send(method, at[1], body)
		if got.status >= http.StatusMultipleChoices {
			t.Errorf("%s: %d %s", line, got.status, got.body)
		}
		if want, is := strings.CutPrefix(lines[k+1], "    {"); is {
			shown++
			if have := strings.TrimSpace(string(got.body)); have != "{"+want {
				t.Errorf("%s\nanswers\n%s\nand by the README\n{%s", line, have, want)
			}
		}
	}
	if sent < 4 || shown < 2 {
		t.Errorf("only %d requests and %d answers were found", sent, shown)
	}
}
