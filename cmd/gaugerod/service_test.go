package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"gaugerod/db/private"
)

// dataFolder is an empty folder that the user Postgres runs as gets to, also when
// the tests run as root.
func dataFolder(t *testing.T) string {
	t.Helper()
	above, err := os.MkdirTemp("", "gaugerod-data-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(above) })
	if err := os.Chmod(above, 0o755); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(above, "data")
}

// service is a running gaugerod serve.
type service struct {
	t       *testing.T
	command *exec.Cmd
	link    string // signs in once
	base    string
	log     *bytes.Buffer
	ended   chan error
	client  *http.Client
}

var linkPattern = regexp.MustCompile(`(http://\S+)/sign-in\?secret=\S+`)

// serve starts the program on a port that is free and waits for its link.
func serve(t *testing.T, args ...string) *service {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	s := &service{t: t, log: &bytes.Buffer{}, ended: make(chan error, 1), client: &http.Client{Jar: jar, Timeout: 30 * time.Second}}
	s.command = exec.Command(program, append([]string{"serve", "--listen", "127.0.0.1:0"}, args...)...)
	s.command.Env = append(bare(), "HOME="+t.TempDir())
	s.command.Stderr = s.log
	out, err := s.command.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.command.Start(); err != nil {
		t.Fatal(err)
	}
	links := make(chan []string, 1)
	go func() {
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			if m := linkPattern.FindStringSubmatch(lines.Text()); m != nil {
				links <- m
			}
		}
		s.ended <- s.command.Wait()
	}()
	t.Cleanup(func() {
		if s.command.ProcessState == nil {
			s.command.Process.Signal(syscall.SIGTERM)
			s.wait()
		}
	})
	select {
	case m := <-links:
		s.link, s.base = m[0], m[1]
	case err := <-s.ended:
		s.ended <- err
		t.Fatalf("it ended before it printed a link: %v\n%s", err, s.log)
	case <-time.After(2 * time.Minute):
		t.Fatal("no link within two minutes")
	}
	return s
}

// wait is how the program ended.
func (s *service) wait() error {
	s.t.Helper()
	select {
	case err := <-s.ended:
		s.ended <- err
		return err
	case <-time.After(time.Minute):
		s.command.Process.Kill()
		s.t.Fatal("it does not end")
		return nil
	}
}

// stop ends it as Ctrl-C does.
func (s *service) stop() {
	s.t.Helper()
	if err := s.command.Process.Signal(os.Interrupt); err != nil {
		s.t.Fatal(err)
	}
	if err := s.wait(); err != nil {
		s.t.Errorf("it ended with %v\n%s", err, s.log)
	}
}

func (s *service) get(path string) (status int, body string) {
	s.t.Helper()
	answer, err := s.client.Get(path)
	if err != nil {
		s.t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}

func TestServiceFromFirstStartToTheNext(t *testing.T) {
	t.Parallel()
	data := dataFolder(t)
	s := serve(t, "--data", data, "--first", everyFeature)

	if status, _ := s.get(s.base + "/api/jobs"); status != http.StatusUnauthorized {
		t.Errorf("nobody has signed in, and the jobs are shown: %d", status)
	}
	if status, page := s.get(s.link); status != http.StatusOK || !strings.Contains(page, "Garden studio") {
		t.Errorf("the link leads to status %d:\n%s", status, page)
	}
	status, text := s.get(s.base + "/api/jobs/garden-studio/plan")
	var body map[string]any
	if err := json.Unmarshal([]byte(text), &body); status != http.StatusOK || err != nil {
		t.Errorf("plan: status %d, %v", status, err)
	}
	if status, page := s.get(s.base + "/jobs/garden-studio"); status != http.StatusOK || !strings.Contains(page, "Frame and brace the walls") {
		t.Errorf("week: status %d", status)
	}

	// Commands join the Postgres of the running service.
	if got := call(t, nil, "load", demo, "--data", data, "--by", "kim"); got.status != statusClean {
		t.Fatalf("load: status %d: %s", got.status, got.err)
	}
	if got := call(t, nil, "export", "--data", data); got.status != statusClean || strings.Count(got.out, "\n") != 2 {
		t.Errorf("export: status %d: %s%s", got.status, got.out, got.err)
	}
	if _, page := s.get(s.base + "/"); !strings.Contains(page, "House on the slope") {
		t.Error("the service does not show what was loaded")
	}
	s.stop()
	nothingLeft(t, data)

	again := serve(t, "--data", data, "--first", "no-such-file.yaml") // there are jobs: it is not read
	if _, page := again.get(again.link); !strings.Contains(page, "House on the slope") || !strings.Contains(page, "Garden studio") {
		t.Error("the jobs are gone after a stop")
	}
	again.stop()
	nothingLeft(t, data)
}

// nothingLeft looks for processes that work in the data folder.
func nothingLeft(t *testing.T, data string) {
	t.Helper()
	links, err := filepath.Glob("/proc/[0-9]*/cwd")
	if err != nil {
		t.Fatal(err)
	}
	for _, link := range links {
		if folder, err := os.Readlink(link); err == nil && strings.HasPrefix(folder, data) {
			t.Errorf("%s still works in the data folder", link)
		}
	}
}

// File to database to file gives the same job, without a service.
func TestExportGivesBackWhatWasLoaded(t *testing.T) {
	t.Parallel()
	data := dataFolder(t)
	for _, c := range []struct{ file, job string }{{everyFeature, "garden-studio"}, {demo, "slope-house"}} {
		if got := call(t, nil, "load", c.file, "--data", data); got.status != statusClean || !strings.Contains(got.out, "is revision 1") {
			t.Fatalf("load %s: status %d: %s", c.file, got.status, got.err)
		}
		first := call(t, nil, "export", c.job, "--data", data)
		if first.status != statusClean || first.out == "" {
			t.Fatalf("export %s: status %d: %s", c.job, first.status, first.err)
		}
		// What comes out plans the same as what went in.
		file := filepath.Join(t.TempDir(), "again.job.yaml")
		if err := os.WriteFile(file, []byte(first.out), 0o600); err != nil {
			t.Fatal(err)
		}
		before, after := call(t, nil, "plan", "--json", c.file), call(t, nil, "plan", "--json", file)
		if withoutLines(before.out) != withoutLines(after.out) {
			t.Errorf("%s: the plan of what was exported differs", c.job)
		}
		if got := call(t, nil, "load", file, "--data", data); got.status != statusClean || !strings.Contains(got.out, "is revision 1") {
			t.Errorf("the same job again is no new revision: status %d: %s%s", got.status, got.out, got.err)
		}
	}
	if got := call(t, nil, "export", "slope-hous", "--data", data); got.status != statusBad || !strings.Contains(got.err, "did you mean slope-house?") {
		t.Errorf("status %d: %s", got.status, got.err)
	}
	nothingLeft(t, data)
}

// withoutLines is a plan's JSON without the places in the file that it speaks of.
func withoutLines(plan string) string {
	return regexp.MustCompile(`"(line|column)": \d+|\(line \d+\)`).ReplaceAllString(plan, "")
}

// With an address the program uses that database and starts nothing.
func TestADatabaseByItsAddress(t *testing.T) {
	t.Parallel()
	cluster, err := private.Start(t.Context(), private.Config{Folder: dataFolder(t)})
	if err != nil {
		t.Fatal(err)
	}
	defer cluster.Stop(t.Context())
	address := cluster.Address()
	if got := call(t, nil, "migrate", "--database", address); got.status != statusClean || !strings.Contains(got.out, "up to date") {
		t.Fatalf("migrate: status %d: %s", got.status, got.err)
	}
	s := serve(t, "--database", address, "--first", everyFeature)
	if status, page := s.get(s.link); status != http.StatusOK || !strings.Contains(page, "Garden studio") {
		t.Errorf("status %d:\n%s", status, page)
	}
	s.stop()
	if got := call(t, nil, "export", "--database", address); got.status != statusClean || !strings.HasPrefix(got.out, "garden-studio\t") {
		t.Errorf("status %d: %s%s", got.status, got.out, got.err)
	}
}

func TestServeSaysWhatIsWrong(t *testing.T) {
	t.Parallel()
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"port in use":         {[]string{"serve", "--data", dataFolder(t), "--listen", taken.Addr().String()}, "choose another with --listen"},
		"no Postgres":         {[]string{"serve", "--data", dataFolder(t), "--listen", "127.0.0.1:0", "--postgres", t.TempDir()}, "apt-get install postgresql"},
		"no such database":    {[]string{"migrate", "--database", "postgres://nobody@127.0.0.1:1/none?connect_timeout=2"}, "open the database"},
		"no first file":       {[]string{"serve", "--data", dataFolder(t), "--listen", "127.0.0.1:0", "--first", "none.yaml"}, "there is no file none.yaml"},
		"wrong file":          {[]string{"load", "--data", dataFolder(t), wrong(t)}, "wrong.job.yaml:"},
		"foreign folder":      {[]string{"load", "--data", filepath.Dir(program), everyFeature}, filepath.Dir(program)},
		"no address, no home": {[]string{"serve", "--listen", "999.0.0.1:1"}, "cannot listen"},
	} {
		t.Run(name, func(t *testing.T) {
			got := call(t, nil, c.args...)
			if got.status != statusBad || !strings.Contains(got.err, c.want) {
				t.Errorf("status %d: %q does not say %q", got.status, got.err, c.want)
			}
		})
	}
}

func TestTheDataFolderHasOneOwner(t *testing.T) {
	t.Parallel()
	data := dataFolder(t)
	s := serve(t, "--data", data)
	if got := call(t, nil, "serve", "--data", data, "--listen", "127.0.0.1:0"); got.status != statusBad || !strings.Contains(got.err, "in use by another program") {
		t.Errorf("status %d: %s", got.status, got.err)
	}
	if status, _ := s.get(s.link); status != http.StatusOK {
		t.Errorf("the first owner was disturbed: %d", status)
	}
	s.stop()
}

// Killed without warning it leaves Postgres behind; the next start clears up and
// has what was acknowledged.
func TestStartsAgainAfterItWasKilled(t *testing.T) {
	t.Parallel()
	data := dataFolder(t)
	s := serve(t, "--data", data)
	if got := call(t, nil, "load", everyFeature, "--data", data); got.status != statusClean {
		t.Fatalf("status %d: %s", got.status, got.err)
	}
	if err := s.command.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	s.wait()
	again := serve(t, "--data", data)
	if _, page := again.get(again.link); !strings.Contains(page, "Garden studio") {
		t.Error("the job is gone")
	}
	again.stop()
	nothingLeft(t, data)
}
