package jobfile_test

import (
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// withoutPos leaves out where things were written.
var withoutPos = cmp.FilterPath(func(p cmp.Path) bool {
	return p.Last().Type() == typeOfPos
}, cmp.Ignore())

func TestWriteEveryFeature(t *testing.T) {
	job, err := jobfile.Read("a", readFile(t, everyFeature))
	if err != nil {
		t.Fatal(err)
	}
	out, err := jobfile.Write(job)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%s", out)
	again, err := jobfile.Read("b", out)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(job, again, withoutPos); d != "" {
		t.Error(d)
	}
}

var typeOfPos = reflect.TypeFor[scheduler.Pos]()
