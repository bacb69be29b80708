package jobfile_test

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

const mistakes = "../../testdata/mistakes.job.yaml"

// TestFortyMistakes reads a file with forty different mistakes: each is found, on
// the line where its comment stands, and nothing else is.
func TestFortyMistakes(t *testing.T) {
	data := readFile(t, mistakes)
	job, err := jobfile.Read("mistakes.job.yaml", data)
	var faults scheduler.Faults
	if !errors.As(err, &faults) || job != nil {
		t.Fatalf("got %v, %v", job, err)
	}
	golden(t, "testdata/mistakes.golden.txt", []byte(faults.Error()+"\n"))

	found := map[int]int{}
	for _, f := range faults {
		found[f.Pos.Line]++
		if f.What == "" || f.Mend == "" || f.Pos.Column < 1 || f.File != "mistakes.job.yaml" {
			t.Errorf("not told in full: %#v", f)
		}
	}
	comment := regexp.MustCompile(`# (\d+) `)
	number := 0
	for k, line := range strings.Split(string(data), "\n") {
		m := comment.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		number++
		if m[1] != strconv.Itoa(number) {
			t.Errorf("line %d: mistake %s follows %d", k+1, m[1], number-1)
		}
		if found[k+1] != 1 {
			t.Errorf("line %d: mistake %s is told %d times", k+1, m[1], found[k+1])
		}
		delete(found, k+1)
	}
	if number != 40 || len(faults) != 40 {
		t.Errorf("%d mistakes are written and %d are found", number, len(faults))
	}
	for line, n := range found {
		t.Errorf("line %d has no mistake and %d faults", line, n)
	}
}

// TestFortyMistakesAreOfFortyKinds leaves out of each fault what is its own: whose
// it is, the names and the numbers.
func TestFortyMistakesAreOfFortyKinds(t *testing.T) {
	_, err := jobfile.Read("mistakes.job.yaml", readFile(t, mistakes))
	var faults scheduler.Faults
	if !errors.As(err, &faults) {
		t.Fatal(err)
	}
	own := regexp.MustCompile(`"[^"]*"|\d+|(finish|start) of [\w.-]+`)
	whose := regexp.MustCompile(`^((wait|waiver of the wait) from the · to the ·|[a-z -]*?·( of [a-z -]+ ·)?) `)
	kinds := map[string]string{}
	for _, f := range faults {
		what := whose.ReplaceAllString(own.ReplaceAllString(f.What, "·"), "")
		if before, ok := kinds[what]; ok {
			t.Errorf("two of one kind:\n%s\n%s", before, f.Error())
		}
		kinds[what] = f.Error()
	}
}
