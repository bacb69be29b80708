package scheduler_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// layers is the one-way order of this module's packages: each may import those of
// the layers above it in this list, never one of its own layer or below.
var layers = [][]string{
	{"scheduler/worktime", "scheduler/nearest", "scheduler/proof", "scheduler/instance"},
	{"scheduler"},
	{
		"scheduler/rules", "scheduler/expand", "scheduler/network", "scheduler/alert", "scheduler/why",
		"scheduler/planfile", "scheduler/compare", "scheduler/verify", "scheduler/randomjob", "scheduler/published",
	},
	{"scheduler/jobfile", "scheduler/levelling", "scheduler/selfcheck"},
	{"scheduler/planner", "scheduler/odds", "scheduler/solve", "scheduler/trial", "scheduler/starter"},
	{"db", "db/private"},
	{"db/dbtest", "api/attach", "api/office", "api/signin", "api/post", "web/draw", "web/fill", "web/paper"},
	{"api/rights", "api/people"},
	{"api", "web"},
	{"cmd/gaugerod/terminal", "cmd/gaugerod/completion"},
	{"cmd/gaugerod/printout"},
	{"cmd/gaugerod"},
	{"deploy/load"},
}

// testsOnly is the packages that nothing but tests may import.
var testsOnly = []string{"scheduler/verify", "scheduler/randomjob", "scheduler/published", "db/dbtest"}

// pure is what of the standard library the scheduler may import: nothing that reads
// a file, a clock, a network, the environment or the machine. What of time and
// math/rand/v2 it may use, and of fmt not, is in mayUse.
var pure = []string{
	"bytes", "cmp", "container/heap", "context", "crypto/sha256", "embed", "encoding/hex", "encoding/json", "errors", "fmt", "io", "iter",
	"maps", "math", "math/bits", "math/rand/v2", "regexp", "slices", "sort", "strconv", "strings", "time",
	"unicode", "unicode/utf8",
}

// belongs says which parts of the module may import what from outside it, by the
// beginning of its path.
var belongs = map[string][]string{
	"database/sql":                   {"db"},
	"github.com/jackc/pgx":           {"db"},
	"github.com/pressly/goose":       {"db"},
	"github.com/riverqueue/river":    {"db"},
	"net/http":                       {"api", "web", "cmd"},
	"github.com/labstack/echo":       {"api", "web", "cmd"},
	"github.com/danielgtaylor/huma":  {"api"},
	"github.com/alecthomas/kong":     {"cmd"},
	"go.yaml.in/yaml":                {"scheduler/jobfile"},
	"testing":                        {"db/dbtest"},
	"github.com/jedib0t/go-pretty":   {"cmd"},
	"github.com/arran4/golang-ical":  {"api"},
	"github.com/rs/zerolog":          {"db", "api", "web", "cmd"},
	"golang.org/x/sync/singleflight": {"api"},
	"golang.org/x/time/rate":         {"api"},

	"github.com/prometheus": {"api"},
	"go.opentelemetry.io":   {"api", "db"},

	"github.com/google/uuid":          {"db", "api", "web", "cmd"},
	"github.com/alexedwards/argon2id": {"api/signin"},
	"github.com/wneessen/go-mail":     {"api/post"},
	"github.com/skip2/go-qrcode":      {"api/signin"},
	"github.com/go-pdf/fpdf":          {"web/paper"},
	"golang.org/x/image":              {"web/paper"},
}

const module = "gaugerod"

func TestArchitecture(t *testing.T) {
	found := map[string][]*ast.File{}
	files := token.NewFileSet()
	err := filepath.WalkDir("..", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (slices.Contains([]string{"testdata", "build", "bin"}, d.Name()) || strings.HasPrefix(d.Name(), ".") && name != ".."):
			return fs.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		file, err := parser.ParseFile(files, name, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		pkg := filepath.ToSlash(filepath.Dir(strings.TrimPrefix(name, ".."+string(filepath.Separator))))
		found[pkg] = append(found[pkg], file)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for pkg, parsed := range found {
		for _, fault := range faultsOf(pkg, parsed) {
			t.Errorf("%s: %s", pkg, fault)
		}
	}
	for _, pkg := range []string{"scheduler", "scheduler/planner", "db", "api", "web", "cmd/gaugerod"} {
		if found[pkg] == nil {
			t.Errorf("%s has not been looked at", pkg)
		}
	}
}

// faultsOf is what the files of a package do against the order and the purity.
func faultsOf(pkg string, files []*ast.File) []string {
	if layerOf(pkg) < 0 {
		return []string{"has no place in the order of packages: put it into layers"}
	}
	var faults []string
	for _, file := range files {
		for _, spec := range file.Imports {
			to, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				faults = append(faults, err.Error())
			} else if fault := importFault(pkg, to); fault != "" {
				faults = append(faults, fault)
			}
		}
		if isScheduler(pkg) {
			faults = append(faults, impurities(file)...)
		}
	}
	return faults
}

func layerOf(pkg string) int {
	return slices.IndexFunc(layers, func(layer []string) bool { return slices.Contains(layer, pkg) })
}

func isScheduler(pkg string) bool { return within(pkg, "scheduler") }

// within says whether a path is another or lies below it.
func within(name, top string) bool { return name == top || strings.HasPrefix(name, top+"/") }

// importFault is what is wrong with a package importing a path, or empty.
func importFault(pkg, to string) string {
	if within(to, module) {
		own := strings.TrimPrefix(strings.TrimPrefix(to, module), "/")
		switch at := layerOf(own); {
		case at < 0:
			return fmt.Sprintf("imports %s, which has no place in the order of packages", own)
		case at >= layerOf(pkg):
			return fmt.Sprintf("imports %s, which does not come before it in the order of packages", own)
		case slices.Contains(testsOnly, own):
			return fmt.Sprintf("imports %s, which is for tests", own)
		}
		return ""
	}
	for what, parts := range belongs {
		if within(to, what) {
			if slices.ContainsFunc(parts, func(part string) bool { return within(pkg, part) }) {
				return ""
			}
			return fmt.Sprintf("imports %s, which is for %s alone", to, strings.Join(parts, ", "))
		}
	}
	if pkg == "scheduler/solve" && to == "sync" {
		return "" // it works with both hands, in rounds whose outcome does not depend on who is faster
	}
	if isScheduler(pkg) && !slices.Contains(pure, to) {
		return fmt.Sprintf("imports %s: the scheduler is pure", to)
	}
	return ""
}

// impurities is where a file of the scheduler uses a clock, a source of randomness
// that is not its own, prints, starts a goroutine, or does something when loaded.
func impurities(file *ast.File) []string {
	names := map[string]string{} // what imports are called in the file
	var faults []string
	for _, spec := range file.Imports {
		to := strings.Trim(spec.Path.Value, `"`)
		switch {
		case spec.Name == nil && to == "math/rand/v2":
			names["rand"] = to
		case spec.Name == nil:
			names[path.Base(to)] = to
		case spec.Name.Name == ".":
			faults = append(faults, fmt.Sprintf("imports all names of %s: which of them are used cannot be told", to))
		default:
			names[spec.Name.Name] = to
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			x, ok := n.X.(*ast.Ident)
			if ok && !mayUse(names[x.Name], n.Sel.Name) {
				faults = append(faults, fmt.Sprintf("uses %s of %s: the scheduler is pure", n.Sel.Name, names[x.Name]))
			}
		case *ast.GoStmt:
			faults = append(faults, "starts a goroutine: the same input has to give the same plan on every machine")
		case *ast.FuncDecl:
			if n.Name.Name == "init" && n.Recv == nil {
				faults = append(faults, "has an init: nothing happens by being imported")
			}
		}
		return true
	})
	return faults
}

// mayUse says whether the scheduler may use a name of an imported package: of time
// all but what looks at a clock or waits, of math/rand/v2 only what has a source of
// its own, of fmt and io all but what reads or writes of itself.
func mayUse(pkg, name string) bool {
	switch pkg {
	case "time":
		return !slices.Contains([]string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "Local"}, name)
	case "math/rand/v2":
		return slices.Contains([]string{"New", "NewPCG", "NewChaCha8", "NewZipf", "Rand", "Source", "PCG", "ChaCha8", "Zipf"}, name)
	case "fmt":
		return !strings.HasPrefix(name, "Print") && !strings.HasPrefix(name, "Scan")
	}
	return true
}

// The order and the purity are worth something only if breaking them is seen.
func TestArchitectureSeesWhatBreaksIt(t *testing.T) {
	for _, c := range []struct {
		name, pkg, source string
		faults            int
	}{
		{"nothing", "scheduler/planner", `package p; import ("time"; "gaugerod/scheduler/network"); var _ = time.Minute`, 0},
		{"a package of no layer", "scheduler/helpers", `package p`, 1},
		{"import of a package of no layer", "web", `package p; import _ "gaugerod/internal/misc"`, 1},
		{"import upwards", "scheduler/worktime", `package p; import _ "gaugerod/scheduler"`, 1},
		{"import sideways", "scheduler/network", `package p; import _ "gaugerod/scheduler/expand"`, 1},
		{"solver in the checker", "scheduler/verify", `package p; import _ "gaugerod/scheduler/levelling"`, 1},
		{"checker in the solver", "scheduler/planner", `package p; import _ "gaugerod/scheduler/verify"`, 1},
		{"tests in production", "api/office", `package p; import _ "testing"`, 1},
		{"database in the scheduler", "scheduler", `package p; import _ "gaugerod/db"`, 1},
		{"driver in the scheduler", "scheduler/rules", `package p; import _ "github.com/jackc/pgx/v5"`, 1},
		{"files in the scheduler", "scheduler/jobfile", `package p; import _ "os"`, 1},
		{"HTTP in the scheduler", "scheduler/alert", `package p; import _ "net/http"`, 1},
		{"old randomness", "scheduler/levelling", `package p; import _ "math/rand"`, 1},
		{"log in the scheduler", "scheduler/levelling", `package p; import _ "log/slog"`, 1},
		{"HTTP in db", "db", `package p; import _ "net/http"`, 1},
		{"HTTP in a package of db", "db/private", `package p; import _ "net/http/httptest"`, 1},
		{"API in db", "db", `package p; import _ "gaugerod/api/office"`, 1},
		{"pages in db", "db", `package p; import _ "gaugerod/web"`, 1},
		{"pages in the API", "api", `package p; import _ "gaugerod/web"`, 1},
		{"API in the pages", "web", `package p; import _ "gaugerod/api"`, 1},
		{"SQL in the pages", "web", `package p; import _ "database/sql"`, 1},
		{"command in the API", "api", `package p; import _ "gaugerod/cmd/gaugerod/printout"`, 1},
		{"clock", "scheduler/why", `package p; import "time"; var at = time.Now()`, 1},
		{"clock under another name", "scheduler/why", `package p; import clock "time"; var at = clock.Since`, 1},
		{"all names of time", "scheduler/why", `package p; import . "time"; var at = Now()`, 1},
		{"common randomness", "scheduler/levelling", `package p; import "math/rand/v2"; var n = rand.IntN(3)`, 1},
		{"seeded randomness", "scheduler/levelling", `package p; import "math/rand/v2"; var n = rand.New(rand.NewPCG(1, 2)).IntN(3)`, 0},
		{"print", "scheduler/alert", `package p; import "fmt"; func f() { fmt.Println() }`, 1},
		{"goroutine", "scheduler/levelling", `package p; func f() { go f() }`, 1},
		{"init", "scheduler/alert", `package p; func init() {}`, 1},
		{"a clock elsewhere is not for this test", "api", `package p; import "time"; var at = time.Now()`, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			file, err := parser.ParseFile(token.NewFileSet(), "p.go", c.source, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			if faults := faultsOf(c.pkg, []*ast.File{file}); len(faults) != c.faults {
				t.Errorf("%d faults, want %d: %q", len(faults), c.faults, faults)
			}
		})
	}
}
