package private

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// How long what a killed run left behind may take to end by itself, and then when
// told to.
const (
	leftoverPatience = 10 * time.Second
	leftoverLimit    = time.Minute
)

// clearLeftovers ends the processes that a killed run left in the data folder and
// removes the pid file. The processes are known by their working folder: a pid
// file may name a process that is long dead, a zombie that nobody reaped, or,
// after a restart of the machine, somebody else altogether.
func (c *Cluster) clearLeftovers(ctx context.Context) error {
	f := c.folder
	for _, pid := range f.processes(f.unfinished()) {
		syscall.Kill(pid, syscall.SIGKILL) // half made: it will be thrown away
	}
	left := f.processes(f.data())
	if pid := f.postmaster(); slices.Contains(left, pid) {
		c.log.Warn().Int("pid", pid).Msg("stopping the Postgres that a killed run left behind")
		err := onLockedThread(func() error {
			return c.programs.run(ctx, f, "pg_ctl", "stop", "--pgdata="+f.data(), "--mode=fast", "--timeout=50")
		})
		if err != nil && ctx.Err() != nil {
			return ctx.Err()
		}
	}
	if err := c.awaitNone(ctx); err != nil {
		return err
	}
	if err := os.Remove(f.inData("postmaster.pid")); err != nil && !os.IsNotExist(err) {
		return fmt.Errorf("remove a stale pid file: %w", err)
	}
	return nil
}

// awaitNone waits until no process is left in the data folder. A server process
// whose parent was killed ends by itself; one that does not is told to.
func (c *Cluster) awaitNone(ctx context.Context) error {
	f := c.folder
	for began := time.Now(); ; {
		left := append(f.processes(f.data()), f.processes(f.unfinished())...)
		if len(left) == 0 {
			return nil
		}
		switch waited := time.Since(began); {
		case waited > leftoverLimit:
			return fmt.Errorf("processes %v of an earlier run hold the data in %s and do not end", left, f.path)
		case waited > leftoverPatience:
			for _, pid := range left {
				syscall.Kill(pid, syscall.SIGQUIT)
			}
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// processes is the live processes whose working folder is the given one, or was
// before it was removed. Zombies have none. They are looked up with the owner's
// own rights: even root may not see where a process of somebody else stands, in a
// container that lacks the right to trace.
func (f *folder) processes(folder string) []int {
	var pids []int
	look := func() {
		links, _ := filepath.Glob("/proc/[0-9]*/cwd")
		for _, link := range links {
			at, err := os.Readlink(link)
			if err == nil && strings.TrimSuffix(at, " (deleted)") == folder {
				if pid, err := strconv.Atoi(filepath.Base(filepath.Dir(link))); err == nil {
					pids = append(pids, pid)
				}
			}
		}
	}
	if !f.owner.switched {
		look()
		return pids
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		runtime.LockOSThread() // and never unlock: the thread ends with its rights
		syscall.Setfsgid(f.owner.gid)
		syscall.Setfsuid(f.owner.uid)
		look()
	}()
	<-done
	return pids
}
