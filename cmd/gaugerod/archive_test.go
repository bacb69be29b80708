package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// An archive of one data folder makes another that is the same.
func TestArchiveFromOneDataFolderToAnother(t *testing.T) {
	t.Parallel()
	from, to := dataFolder(t), dataFolder(t)
	if got := call(t, nil, "load", everyFeature, demo, "--data", from); got.status != statusClean {
		t.Fatalf("load: status %d: %s", got.status, got.err)
	}
	file := filepath.Join(t.TempDir(), "all.tar.gz")
	if err := os.WriteFile(file, []byte("an older one"), 0o644); err != nil {
		t.Fatal(err)
	}
	got := call(t, nil, "export", "--all", file, "--data", from)
	if got.status != statusClean || !strings.Contains(got.out, "jobs: 2, ") {
		t.Fatalf("export: status %d: %s%s", got.status, got.out, got.err)
	}
	if info, err := os.Stat(file); err != nil || info.Mode() != 0o600 {
		t.Errorf("the archive is for others to read: %v (%v)", info.Mode(), err)
	}
	if left, err := filepath.Glob(filepath.Join(filepath.Dir(file), ".*")); err != nil || len(left) > 0 {
		t.Errorf("there is something left: %v (%v)", left, err)
	}

	got = call(t, nil, "import", file, "--data", to)
	if got.status != statusClean || !strings.Contains(got.out, "jobs: 2, ") {
		t.Fatalf("import: status %d: %s%s", got.status, got.out, got.err)
	}
	was, is := call(t, nil, "export", "slope-house", "--data", from), call(t, nil, "export", "slope-house", "--data", to)
	if is.status != statusClean || is.out != was.out {
		t.Errorf("the job came back otherwise: status %d: %s", is.status, is.err)
	}
	if got := call(t, nil, "import", file, "--data", to); got.status != statusBad || !strings.Contains(got.err, "fresh database") {
		t.Errorf("twice: status %d: %s", got.status, got.err)
	}
	nothingLeft(t, from)
	nothingLeft(t, to)
}

func TestArchiveThroughPipes(t *testing.T) {
	t.Parallel()
	from, to := dataFolder(t), dataFolder(t)
	if got := call(t, nil, "load", everyFeature, "--data", from); got.status != statusClean {
		t.Fatalf("load: status %d: %s", got.status, got.err)
	}
	piped := call(t, nil, "export", "--all", "-", "--data", from)
	if piped.status != statusClean {
		t.Fatalf("export: status %d: %s", piped.status, piped.err)
	}
	cut := piped.out[:len(piped.out)/2]
	if got := call(t, strings.NewReader(cut), "import", "-", "--data", to); got.status != statusBad || !strings.Contains(got.err, "cut short or altered") {
		t.Errorf("half of it: status %d: %s", got.status, got.err)
	}
	if got := call(t, bytes.NewReader([]byte(piped.out)), "import", "-", "--data", to); got.status != statusClean {
		t.Errorf("import: status %d: %s", got.status, got.err)
	}
}

func TestArchiveCommandsSayWhatIsWrong(t *testing.T) {
	t.Parallel()
	data := dataFolder(t)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"export", "house", "--all", "all.tar.gz"}, "leave house out"},
		{[]string{"export", "--all", filepath.Join(t.TempDir(), "none", "all.tar.gz"), "--data", data}, "no such file"},
		{[]string{"import", filepath.Join(t.TempDir(), "none.tar.gz")}, "there is no file"},
		{[]string{"import", everyFeature, "--data", data}, "no archive at all"},
	} {
		if got := call(t, nil, c.args...); got.status != statusBad || !strings.Contains(got.err, c.want) {
			t.Errorf("%v: status %d: %q does not say %q", c.args, got.status, got.err, c.want)
		}
	}
}
