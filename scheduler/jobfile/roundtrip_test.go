package jobfile_test

import (
	"bytes"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"
	"unicode"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/randomjob"
)

// withoutPos compares jobs but for where they were written.
var withoutPos = cmp.Options{
	cmp.FilterPath(func(p cmp.Path) bool { return p.Last().Type() == reflect.TypeFor[scheduler.Pos]() }, cmp.Ignore()),
	cmpopts.EquateEmpty(),
}

// roundTrip writes a job and reads it again; it gives the file.
func roundTrip(t interface {
	Fatalf(string, ...any)
	Helper()
}, job *scheduler.Job,
) []byte {
	t.Helper()
	out, err := jobfile.Write(job)
	if err != nil {
		t.Fatalf("%v", err)
	}
	again, err := jobfile.Read("again", out)
	if err != nil {
		t.Fatalf("%v in\n%s", err, out)
	}
	job.Canonical()
	if d := cmp.Diff(job, again, withoutPos); d != "" {
		t.Fatalf("written and read (-was +is):\n%s\nin\n%s", d, out)
	}
	twice, err := jobfile.Write(again)
	if err != nil || !bytes.Equal(out, twice) {
		t.Fatalf("written twice, it differs: %v\n%s", err, cmp.Diff(string(out), string(twice)))
	}
	return out
}

func TestEveryFeatureThereAndBack(t *testing.T) {
	job, err := jobfile.Read("every-feature.job.yaml", readFile(t, everyFeature))
	if err != nil {
		t.Fatal(err)
	}
	roundTrip(t, job)
}

func TestRandomJobsThereAndBack(t *testing.T) {
	schema := compileSchema(t)
	for seed := range uint64(80) {
		out := roundTrip(t, randomjob.New(seed, randomjob.Size{Steps: 10 + int(seed%60)}))
		if err := validate(t, schema, out); err != nil {
			t.Fatalf("seed %d: the schema refuses it: %v", seed, err)
		}
	}
}

// TestOddTextsThereAndBack puts texts that YAML could take for something else
// wherever people write texts.
func TestOddTextsThereAndBack(t *testing.T) {
	data := readFile(t, everyFeature)
	odd := rapid.OneOf(
		rapid.SampledFrom([]string{
			"true", "No", "null", "~", "12", "-3", "1e3", "0x1f", "2026-03-02", "07:30", "3 days", "2 m", "- a", "? b", "a: b", "a #b",
			"#c", "*d", "&e", "!f", "[g]", "{h}", "i, j", "'k'", `"l"`, `m\n`, "|", ">", "%n", "@o", "`p", "q:", "...", "---", "ä ö", "\u00a0r",
			"s\u2028t", "\ufeffu", "😀", "v\u0301", "x ", " y", "=", "<<", ".inf", ".5", "+1", "1_000", "x'y", "a:b", "zz:", "1 2", "e\u0085f",
		}),
		rapid.StringN(1, 40, 200),
	).Filter(func(s string) bool {
		return strings.TrimSpace(s) != "" && !strings.ContainsFunc(s, unicode.IsControl)
	})
	rapid.Check(t, func(t *rapid.T) {
		job, err := jobfile.Read("every-feature.job.yaml", data)
		if err != nil {
			t.Fatal(err)
		}
		eachText(reflect.ValueOf(job).Elem(), func(field, s string) string {
			switch {
			case field == "Zone" || field == "Short" || field == "Window" || field == "Letter" || s == "":
				return s
			case field == "Note" || field == "Evidence":
				return odd.Draw(t, field) + rapid.SampledFrom([]string{"", "\n", "\n\n  two\n"}).Draw(t, "more")
			}
			return odd.Draw(t, field)
		})
		job.Asides[0].Alert = odd.Draw(t, "alert")
		roundTrip(t, job)
	})
}

// TestEveryLetterThereAndBack goes through letters that YAML could take for yes and no.
func TestEveryLetterThereAndBack(t *testing.T) {
	job, err := jobfile.Read("every-feature.job.yaml", readFile(t, everyFeature))
	if err != nil {
		t.Fatal(err)
	}
	for n := 1; n < 400; n++ { // up to OJ
		i := job.Issues[0]
		i.Letter = scheduler.Letter(n)
		job.Issues = append(job.Issues, i)
	}
	roundTrip(t, job)
}

// eachText changes every text in a value. Names, kinds and roles are of other types.
func eachText(v reflect.Value, change func(field, s string) string) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			eachText(v.Elem(), change)
		}
	case reflect.Slice, reflect.Array:
		for k := range v.Len() {
			eachText(v.Index(k), change)
		}
	case reflect.Struct:
		for k := range v.NumField() {
			if f := v.Field(k); f.Type() == reflect.TypeFor[string]() {
				f.SetString(change(v.Type().Field(k).Name, f.String()))
			} else {
				eachText(f, change)
			}
		}
	}
}

func TestWriteRefusesWhatIsNotUTF8(t *testing.T) {
	job, err := jobfile.Read("every-feature.job.yaml", readFile(t, everyFeature))
	if err != nil {
		t.Fatal(err)
	}
	job.Tasks[0].Note = "a\xffb"
	if out, err := jobfile.Write(job); err == nil {
		t.Errorf("it writes\n%s", out)
	}
}

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares what people read with a file that somebody has looked at.
func golden(t *testing.T, path string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, got, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if d := cmp.Diff(string(readFile(t, path)), string(got)); d != "" {
		t.Errorf("%s (-want +got; -update after a look):\n%s", path, d)
	}
}

func TestWrittenFileReadsWell(t *testing.T) {
	job, err := jobfile.Read("every-feature.job.yaml", readFile(t, everyFeature))
	if err != nil {
		t.Fatal(err)
	}
	out, err := jobfile.Write(job)
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "testdata/every-feature.golden.yaml", out)
}
