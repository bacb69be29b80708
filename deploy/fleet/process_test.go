package fleet

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// spawning is served by a goroutine that never gives its thread up: a child's signal
// for when its parent dies follows the thread that started it, not the process.
var spawning = sync.OnceValue(func() chan<- func() {
	asked := make(chan func())
	go func() {
		runtime.LockOSThread()
		for do := range asked {
			do()
		}
	}()
	return asked
})

// process is a program that was started. Whatever becomes of the tests, it does not
// outlive them.
type process struct {
	name  string
	cmd   *exec.Cmd
	said  string // file with all that it says
	ended chan struct{}
}

// run starts a program whose word goes to a file of the folder, appended when it is
// not the first of that name.
func run(folder, name string, whenWeDie syscall.Signal, as *syscall.Credential, env []string, words ...string) (*process, error) {
	p := &process{name: name, said: filepath.Join(folder, name+".log"), ended: make(chan struct{})}
	log, err := os.OpenFile(p.said, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return nil, err
	}
	defer log.Close()
	p.cmd = exec.Command(words[0], words[1:]...)
	p.cmd.Dir, p.cmd.Env = folder, env
	p.cmd.Stdout, p.cmd.Stderr = log, log
	p.cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Pdeathsig: whenWeDie, Credential: as}
	started := make(chan error)
	spawning() <- func() { started <- p.cmd.Start() }
	if err := <-started; err != nil {
		return nil, err
	}
	go func() {
		p.cmd.Wait()
		close(p.ended)
	}()
	return p, nil
}

func (p *process) signal(s syscall.Signal) { p.cmd.Process.Signal(s) }

func (p *process) running() bool {
	select {
	case <-p.ended:
		return false
	default:
		return true
	}
}

// end sends a signal and waits until the process has ended, killing it when that
// takes absurdly long.
func (p *process) end(s syscall.Signal) error {
	p.signal(s)
	select {
	case <-p.ended:
		return nil
	case <-time.After(time.Minute):
		p.signal(syscall.SIGKILL)
		<-p.ended
		return fmt.Errorf("%s does not end by %v", p.name, s)
	}
}

// tail is the last lines that a program said.
func tail(file string, lines int) string {
	text, err := os.ReadFile(file)
	if err != nil {
		return err.Error()
	}
	all := strings.Split(strings.TrimSpace(string(text)), "\n")
	return strings.Join(all[max(0, len(all)-lines):], "\n")
}

// troubles is the last lines in which an instance tells of errors that no fault explains.
func troubles(file string, lines int) string {
	text, err := os.ReadFile(file)
	if err != nil {
		return err.Error()
	}
	var all []string
	for line := range strings.Lines(string(text)) {
		level := strings.Contains(line, `"level":"error"`) || !strings.HasPrefix(line, "{")
		if level && !strings.Contains(line, `"status":503`) && !strings.Contains(line, "the database is not available") {
			all = append(all, strings.TrimSpace(line))
		}
	}
	return strings.Join(all[max(0, len(all)-lines):], "\n")
}

// folderOf is a folder for everything of a fleet, which other users may pass.
func folderOf(t *testing.T) string {
	t.Helper()
	folder, err := os.MkdirTemp("", "gaugerod-fleet-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(folder) })
	if err := os.Chmod(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	return folder
}

// errOver says that waiting is of no use.
var errOver = errors.New("it has ended")

// until waits for something that has to come; waiting for ever is a failure.
func until(what string, there func() error) error {
	deadline := time.Now().Add(2 * time.Minute)
	for {
		err := there()
		if err == nil {
			return nil
		}
		if errors.Is(err, errOver) {
			return fmt.Errorf("%s: %w", what, err)
		}
		if time.Now().After(deadline) {
			return fmt.Errorf("%s: not within two minutes: %w", what, err)
		}
		time.Sleep(20 * time.Millisecond)
	}
}
