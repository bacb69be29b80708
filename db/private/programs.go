package private

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"sort"
	"strconv"
	"time"
)

// programs is a folder with the programs of one major version of Postgres.
type programs struct {
	folder  string
	version string // major
}

func (p programs) path(name string) string { return filepath.Join(p.folder, name) }

// usual are the places where systems keep the programs of Postgres.
var usual = []string{"/usr/lib/postgresql/*/bin", "/usr/pgsql-*/bin", "/usr/local/pgsql/bin", "/usr/local/bin", "/usr/bin"}

// findPrograms finds the programs that fit the data: of its version, or, when there
// is no data yet, the newest. Only the given folder is looked in, if one is given.
func findPrograms(ctx context.Context, given string, data string, dataFolder string) (programs, error) {
	var found []programs
	looked := places(given)
	for _, folder := range looked {
		if p, ok := programsIn(ctx, folder); ok {
			found = append(found, p)
		}
	}
	if len(found) == 0 {
		return programs{}, &ErrNoPostgres{Looked: looked}
	}
	sort.SliceStable(found, func(i, j int) bool { return number(found[i].version) > number(found[j].version) })
	if data == "" {
		return found[0], nil
	}
	for _, p := range found {
		if p.version == data {
			return p, nil
		}
	}
	return programs{}, &ErrVersion{Folder: dataFolder, Data: data, Have: found[0].version}
}

func places(given string) []string {
	if given != "" {
		return []string{given}
	}
	var folders []string
	if path, err := exec.LookPath("initdb"); err == nil {
		folders = append(folders, filepath.Dir(path))
	}
	for _, pattern := range usual {
		if matches, _ := filepath.Glob(pattern); matches != nil {
			folders = append(folders, matches...)
		} else {
			folders = append(folders, pattern)
		}
	}
	return folders
}

var versionText = regexp.MustCompile(`\(PostgreSQL\) (\d+)`)

// programsIn is the programs of a folder, when all that are needed are there and run.
func programsIn(ctx context.Context, folder string) (programs, bool) {
	p := programs{folder: folder}
	for _, name := range []string{"postgres", "initdb", "pg_ctl"} {
		if info, err := os.Stat(p.path(name)); err != nil || info.Mode()&0o111 == 0 {
			return p, false
		}
	}
	ctx, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	out, err := exec.CommandContext(ctx, p.path("postgres"), "-V").Output()
	match := versionText.FindSubmatch(out)
	if err != nil || match == nil {
		return p, false
	}
	p.version = string(match[1])
	return p, true
}

func number(version string) int {
	n, _ := strconv.Atoi(version)
	return n
}

// environment is what the programs get of ours: nothing that would turn them
// elsewhere (PGDATA, PGOPTIONS, a locale that is not installed).
func (p programs) environment() []string {
	return []string{"PATH=" + p.folder + ":/usr/bin:/bin", "LC_ALL=C.UTF-8", "TZ=UTC"}
}

// run runs one of the programs as the owner to its end.
func (p programs) run(ctx context.Context, f *folder, name string, args ...string) error {
	cmd := exec.CommandContext(ctx, p.path(name), args...)
	cmd.Dir = f.path // where the owner may be, which our own working folder need not be
	cmd.Env = p.environment()
	cmd.SysProcAttr = f.owner.process(killed)
	cmd.WaitDelay = waitDelay
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%s: %w: %s", name, err, out)
	}
	return nil
}
