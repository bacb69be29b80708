// Package deploy is only tests: that what is here to run the program with fits the
// program and itself.
package deploy

import (
	"encoding/json"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
)

func read(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// help is what the program says of a command.
func help(t *testing.T, command string) string {
	t.Helper()
	out, err := exec.Command("go", "run", "gaugerod/cmd/gaugerod", command, "--help").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

var setting = regexp.MustCompile(`GAUGEROD_[A-Z_]+`)

func settings(text string) map[string]bool {
	all := map[string]bool{}
	for _, s := range setting.FindAllString(text, -1) {
		all[s] = true
	}
	return all
}

// Every setting that is named anywhere is one that the program reads, and the example
// names all of them.
func TestSettingsAreThoseOfTheProgram(t *testing.T) {
	known := settings(help(t, "serve"))
	if len(known) < 8 {
		t.Fatalf("the help names only %v", known)
	}
	ofProxy := settings(read(t, "haproxy.cfg"))
	for _, file := range []string{"gaugerod.env.example", "compose.yaml", "Containerfile", "gaugerod.service", "gaugerod@.service"} {
		for s := range settings(read(t, file)) {
			numbered := strings.HasPrefix(s, "GAUGEROD_INSTANCE_")
			if !known[s] && !(file == "compose.yaml" && (ofProxy[s] || numbered)) {
				t.Errorf("%s sets %s, which nothing reads", file, s)
			}
		}
	}
	example := settings(read(t, "gaugerod.env.example"))
	for s := range known {
		if !example[s] {
			t.Errorf("the example does not name %s", s)
		}
	}
}

// composed is a compose file as far as it is asked about here.
type composed struct {
	Services map[string]struct {
		Image       string
		Build       struct{ Context, Dockerfile string }
		Command     []string
		Environment map[string]string
		Secrets     []string
		Networks    []string
		Volumes     []string
		Ports       []string
		ReadOnly    bool     `yaml:"read_only"`
		CapDrop     []string `yaml:"cap_drop"`
		Restart     string
		Healthcheck map[string]any
		DependsOn   map[string]map[string]string `yaml:"depends_on"`
	}
	Networks, Volumes map[string]any
	Secrets           map[string]struct{ File string }
}

// TestComposeFileHoldsTogether reads it as YAML and follows every name in it; that
// it runs is for an engine to say.
func TestComposeFileHoldsTogether(t *testing.T) {
	text := read(t, "compose.yaml")
	var c composed
	if err := yaml.Unmarshal([]byte(text), &c); err != nil {
		t.Fatal(err)
	}
	if got := slices.Sorted(maps.Keys(c.Services)); !slices.Equal(got, []string{"database", "migrate", "one", "proxy", "two"}) {
		t.Errorf("the services are %v", got)
	}
	made := secretsMade(t)
	used := map[string]bool{}
	for name, s := range c.Services {
		for _, secret := range s.Secrets {
			used[secret] = true
			if c.Secrets[secret].File == "" {
				t.Errorf("%s wants the secret %s, which there is not", name, secret)
			}
		}
		for _, network := range s.Networks {
			if _, ok := c.Networks[network]; !ok {
				t.Errorf("%s is in the network %s, which there is not", name, network)
			}
		}
		for _, volume := range s.Volumes {
			from, _, _ := strings.Cut(volume, ":")
			_, named := c.Volumes[from]
			if _, err := os.Stat(from); !named && err != nil {
				t.Errorf("%s mounts %s, which there is not", name, from)
			}
		}
		for other, when := range s.DependsOn {
			needed, ok := c.Services[other]
			if !ok {
				t.Errorf("%s waits for %s, which there is not", name, other)
			}
			if when["condition"] == "service_healthy" && needed.Healthcheck == nil {
				t.Errorf("%s waits until %s is healthy, which nobody asks", name, other)
			}
		}
		for variable, value := range s.Environment {
			if strings.Contains(variable, "PASSWORD") != strings.HasSuffix(variable, "_FILE") || strings.Contains(value, "password=") {
				t.Errorf("%s: %s: passwords come from files", name, variable)
			}
		}
		if s.Image == "gaugerod" {
			if _, err := os.Stat(filepath.Join(s.Build.Context, s.Build.Dockerfile)); err != nil {
				t.Error(err)
			}
			if !s.ReadOnly || !slices.Equal(s.CapDrop, []string{"ALL"}) || len(s.Ports) > 0 {
				t.Errorf("%s may more than it needs", name)
			}
			help(t, s.Command[0])
		}
	}
	for name, s := range c.Secrets {
		if !used[name] {
			t.Errorf("nobody wants the secret %s", name)
		}
		if file := filepath.Base(s.File); !made[file] && file != "tls.pem" {
			t.Errorf("secrets.sh does not make %s", file)
		}
	}
	proxy := c.Services["proxy"].Environment
	for k, name := range []string{"one", "two"} {
		if at := proxy["GAUGEROD_INSTANCE_"+string(rune('1'+k))]; at != name+":8433" {
			t.Errorf("instance %d of the proxy is %q", k+1, at)
		}
	}
}

// secretsMade is the files that secrets.sh makes, once.
func secretsMade(t *testing.T) map[string]bool {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "secrets")
	make := func() map[string]string {
		if out, err := exec.Command("./secrets.sh", folder).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		entries, err := os.ReadDir(folder)
		if err != nil {
			t.Fatal(err)
		}
		all := map[string]string{}
		for _, e := range entries {
			all[e.Name()] = read(t, filepath.Join(folder, e.Name()))
		}
		return all
	}
	first := make()
	if again := make(); !maps.Equal(first, again) {
		t.Error("a second run makes other passwords")
	}
	password := first["database_password"]
	if len(password) != 64 || first["database_passfile"] != "*:*:*:gaugerod:"+password+"\n" {
		t.Error("password and passfile do not belong together")
	}
	if info, err := os.Stat(folder); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("others get into the folder: %v", info.Mode())
	}
	all := map[string]bool{}
	for name := range first {
		all[name] = true
	}
	return all
}

// TestContainerfileHasWhatItNeeds copies what it copies into an empty folder and asks
// there for every package, and every file that is built in, of what it builds.
func TestContainerfileHasWhatItNeeds(t *testing.T) {
	text := read(t, "Containerfile")
	folder := t.TempDir()
	ignored := read(t, "../.dockerignore")
	for _, line := range regexp.MustCompile(`(?m)^COPY ([a-z][a-z. ]*) [a-z./]+$`).FindAllStringSubmatch(text, -1) {
		for from := range strings.FieldsSeq(line[1]) {
			if !strings.Contains(ignored, "\n!"+from+"\n") {
				t.Errorf(".dockerignore keeps %s out", from)
			}
			if out, err := exec.Command("cp", "-r", filepath.Join("..", from), folder).CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, out)
			}
		}
	}
	build := regexp.MustCompile(`(?m)^RUN CGO_ENABLED=0 go build .* (-tags \S+) .* (\./\S+)$`).FindStringSubmatch(text)
	if build == nil {
		t.Fatal("it does not say how the program is built")
	}
	list := exec.Command("go", append([]string{"list", "-deps", "-json=ImportPath,Error,DepsErrors"}, append(strings.Fields(build[1]), build[2])...)...)
	list.Dir, list.Env = folder, append(os.Environ(), "CGO_ENABLED=0")
	out, err := list.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if strings.Contains(string(out), `"Error"`) || !strings.Contains(string(out), `"gaugerod/cmd/gaugerod"`) {
		t.Errorf("not all of it is there:\n%s", out)
	}
	// What it names in lists is what an engine runs without a shell: there is none.
	for _, line := range regexp.MustCompile(`(?m)(?:ENTRYPOINT|CMD) (\[.*\])$`).FindAllStringSubmatch(text, -1) {
		var words []string
		if err := json.Unmarshal([]byte(line[1]), &words); err != nil {
			t.Errorf("%s: %v", line[0], err)
		}
	}
	if strings.Contains(text, "USER 0") || !strings.Contains(text, "\nUSER 65532:65532\n") {
		t.Error("it does not run as an ordinary user")
	}
}

// TestUnits has systemd read the units, where there is one.
func TestUnits(t *testing.T) {
	if _, err := exec.LookPath("systemd-analyze"); err != nil {
		t.Skip("no systemd-analyze here to read the units with")
	}
	folder := t.TempDir()
	for from, to := range map[string]string{"gaugerod.service": "gaugerod.service", "gaugerod@.service": "gaugerod@8433.service"} {
		// The program need not be installed here to be looked for there.
		unit := strings.ReplaceAll(read(t, from), "/usr/local/bin/gaugerod", "/bin/true")
		path := filepath.Join(folder, to)
		if err := os.WriteFile(path, []byte(unit), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command("systemd-analyze", "verify", "--man=no", path).CombinedOutput()
		if err != nil || len(out) > 0 {
			t.Errorf("%s: %v\n%s", from, err, out)
		}
		out, err = exec.Command("systemd-analyze", "security", "--offline=yes", "--threshold=20", path).CombinedOutput()
		if err != nil {
			t.Errorf("%s is exposed more than 2.0 of 10: %v\n%s", from, err, out)
		}
	}
}

// TestFilesOfTheREADME asks that what it names is there.
func TestFilesOfTheREADME(t *testing.T) {
	for _, name := range regexp.MustCompile("deploy/[a-zA-Z@._-]+[a-z]").FindAllString(read(t, "README.md"), -1) {
		if _, err := os.Stat(filepath.Join("..", name)); err != nil && !strings.HasPrefix(name, "deploy/secrets") {
			t.Errorf("it names %s: %v", name, err)
		}
	}
}
