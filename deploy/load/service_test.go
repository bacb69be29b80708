package load_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// built is the folder of the program, once it has been asked for.
var built string

// program builds the program once and says where it is.
var program = sync.OnceValues(func() (string, error) {
	folder, err := os.MkdirTemp("", "gaugerod-load-")
	if err != nil {
		return "", err
	}
	built = folder
	path := filepath.Join(folder, "gaugerod")
	if out, err := exec.Command("go", "build", "-trimpath", "-o", path, "gaugerod/cmd/gaugerod").CombinedOutput(); err != nil {
		return "", fmt.Errorf("build the program: %w\n%s", err, out)
	}
	return path, nil
})

// dataFolder is an empty folder that the user Postgres runs as gets to.
func dataFolder(b *testing.B) string {
	b.Helper()
	above, err := os.MkdirTemp("", "gaugerod-load-data-")
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { os.RemoveAll(above) })
	if err := os.Chmod(above, 0o755); err != nil {
		b.Fatal(err)
	}
	return filepath.Join(above, "data")
}

// service is a running gaugerod serve in which somebody has signed in.
type service struct {
	b       *testing.B
	command *exec.Cmd
	base    string
	token   string
	log     *bytes.Buffer
	client  *http.Client
	ended   chan error
}

// newClient is what asks. It reads long answers in large pieces, since what it takes of
// the processors is not there for the service.
func newClient() *http.Client {
	return &http.Client{Timeout: 5 * time.Minute, Transport: &http.Transport{MaxIdleConns: 500, MaxIdleConnsPerHost: 500, ReadBufferSize: 128 << 10}}
}

var linkPattern = regexp.MustCompile(`(http://[^/\s]+)/\S*secret=(\S+)`)

// serve starts the program over a data folder and signs in.
func serve(b *testing.B, folder string) *service {
	b.Helper()
	path, err := program()
	if err != nil {
		b.Fatal(err)
	}
	s := &service{b: b, log: &bytes.Buffer{}, ended: make(chan error, 1), client: newClient()}
	s.command = exec.Command(path, "serve", "--listen", "127.0.0.1:0", "--data", folder, "--level", "warn")
	s.command.Env = environment(b.TempDir())
	s.command.Stderr = s.log
	out, err := s.command.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := s.command.Start(); err != nil {
		b.Fatal(err)
	}
	links := make(chan []string, 1)
	go func() {
		for lines := bufio.NewScanner(out); lines.Scan(); {
			if m := linkPattern.FindStringSubmatch(lines.Text()); m != nil {
				links <- m
			}
		}
		s.ended <- s.command.Wait()
	}()
	b.Cleanup(s.stop)
	select {
	case m := <-links:
		s.base = m[1]
		s.token = s.opened(m[2])
	case err := <-s.ended:
		s.ended <- err
		b.Fatalf("it ended before it printed a link: %v\n%s", err, s.log)
	case <-time.After(2 * time.Minute):
		b.Fatal("no link within two minutes")
	}
	return s
}

// environment is that of this process without what the program reads from it.
func environment(home string) (env []string) {
	for _, e := range os.Environ() {
		if !strings.HasPrefix(e, "GAUGEROD_") && !strings.HasPrefix(e, "HOME=") {
			env = append(env, e)
		}
	}
	return append(env, "HOME="+home)
}

// opened is the token of a session that a secret opens.
func (s *service) opened(secret string) string {
	s.b.Helper()
	var opened struct {
		Token string `json:"token"`
	}
	body := s.ask(http.MethodPost, "/api/sessions", map[string]string{"secret": secret}, nil)
	if err := json.Unmarshal(body, &opened); err != nil || opened.Token == "" {
		s.b.Fatalf("no token in %s (%v)", body, err)
	}
	return opened.Token
}

// stop ends the program as Ctrl-C does.
func (s *service) stop() {
	if s.command.ProcessState != nil {
		return
	}
	s.command.Process.Signal(os.Interrupt)
	select {
	case err := <-s.ended:
		if err != nil {
			s.b.Errorf("it ended with %v\n%s", err, s.log)
		}
	case <-time.After(time.Minute):
		s.command.Process.Kill()
		s.b.Error("it does not end")
	}
}

// request is one of somebody who has signed in. What is sent is bytes as they are,
// anything else as JSON.
func (s *service) request(method, path string, send any) *http.Request {
	var body io.Reader
	kind := "application/json"
	switch v := send.(type) {
	case nil:
	case []byte:
		body, kind = bytes.NewReader(v), "application/yaml"
	default:
		text, err := json.Marshal(v)
		if err != nil {
			s.b.Fatal(err)
		}
		body = bytes.NewReader(text)
	}
	r, err := http.NewRequest(method, s.base+path, body)
	if err != nil {
		s.b.Fatal(err)
	}
	if body != nil {
		r.Header.Set("Content-Type", kind)
	}
	if s.token != "" {
		r.Header.Set("Authorization", "Bearer "+s.token)
	}
	return r
}

// ask sends a request that has to succeed, and reads the whole answer.
func (s *service) ask(method, path string, send any, seen func(http.Header)) []byte {
	s.b.Helper()
	answer, err := s.client.Do(s.request(method, path, send))
	if err != nil {
		s.b.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		s.b.Fatal(err)
	}
	if answer.StatusCode >= 300 {
		s.b.Fatalf("%s %s: %s\n%.2000s\n%.2000s", method, path, answer.Status, body, s.log)
	}
	if seen != nil {
		seen(answer.Header)
	}
	return body
}

// most is the most memory the process has had resident, without Postgres, in MiB.
func (s *service) most() float64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.command.Process.Pid))
	if err != nil {
		s.b.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		if kB, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			n, _ := strconv.Atoi(strings.Fields(kB)[0])
			return float64(n) / 1024
		}
	}
	s.b.Fatal("the system does not say how much memory it takes")
	return 0
}

// processor is the seconds of processor that the program, the Postgres below it and
// this process with the load tool have taken so far.
func (s *service) processor() (program, postgres, tool float64) {
	parents, took := map[int]int{}, map[int]float64{}
	stats, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, path := range stats {
		text, err := os.ReadFile(path)
		if err != nil {
			continue // gone meanwhile
		}
		_, after, _ := strings.Cut(string(text), ") ")
		fields := strings.Fields(after)
		pid, _ := strconv.Atoi(strings.Split(path, "/")[2])
		parents[pid], _ = strconv.Atoi(fields[1])
		const ticks = 100 // a second, on Linux
		for _, k := range []int{11, 12, 13, 14} {
			n, _ := strconv.ParseFloat(fields[k], 64)
			if k <= 12 || pid != os.Getpid() && pid != s.command.Process.Pid { // of children that have ended, too
				took[pid] += n / ticks
			}
		}
	}
	main := s.command.Process.Pid
	for pid, seconds := range took {
		switch {
		case pid == main:
			program += seconds
		case pid == os.Getpid():
			tool += seconds
		default:
			for up := parents[pid]; up > 1; up = parents[up] {
				if up == main {
					postgres += seconds
				}
			}
		}
	}
	return program, postgres, tool
}
