package private

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"
)

const (
	killed    = syscall.SIGKILL
	waitDelay = 10 * time.Second // for what a dead process's children still say

	startPatience = 5 * time.Minute // recovering from a kill can take a while

	maxRestarts   = 5 // in a row, each living less than restartWindow
	restartWindow = time.Minute
)

// supervise runs Postgres until it is asked to stop, and starts it again when it
// dies. The goroutine keeps its thread: the signal that Postgres gets when we die
// follows the thread that started it.
func (c *Cluster) supervise() {
	runtime.LockOSThread()
	defer close(c.done)
	defer c.folder.close()
	for restarts := 0; ; restarts++ {
		began := time.Now()
		err := c.run()
		if c.stopping() {
			return
		}
		if time.Since(began) > restartWindow {
			restarts = 0
		}
		c.log.Error().Err(err).Msg("Postgres has stopped unasked")
		if restarts == maxRestarts {
			c.err = fmt.Errorf("the private Postgres in %s keeps stopping: %w", c.folder.path, err)
			return
		}
		time.Sleep(time.Duration(restarts) * 200 * time.Millisecond)
		if c.err = c.clearTheWay(); c.err != nil {
			return
		}
	}
}

// clearTheWay clears what the dead Postgres left, for another start.
func (c *Cluster) clearTheWay() error {
	ctx, cancel := context.WithTimeout(context.Background(), 2*leftoverLimit)
	defer cancel()
	if err := c.clearLeftovers(ctx); err != nil {
		return err
	}
	return c.folder.clearSocket()
}

func (c *Cluster) stopping() bool {
	select {
	case <-c.stop:
		return true
	default:
		return false
	}
}

// run starts Postgres and returns when it has ended.
func (c *Cluster) run() error {
	// Not ended with a context: stopWhenAsked stops it in good order.
	cmd := exec.CommandContext(context.Background(), c.programs.path("postgres"),
		"-D", c.folder.data(),
		"-k", c.folder.socketFolder,
		"-c", "listen_addresses=",
		"-c", "port=5432",
		"-c", "unix_socket_permissions=0700",
		"-c", "fsync=on",
		"-c", "full_page_writes=on",
		"-c", "synchronous_commit=on",
		"-c", "jit=off", // our statements are short, and supervisors may forbid code made at run time
		"-c", "timezone=UTC",
		"-c", "log_timezone=UTC",
		"-c", "logging_collector=off",
		"-c", "log_line_prefix=",
	)
	cmd.Dir = c.folder.path
	cmd.Env = c.programs.environment()
	cmd.SysProcAttr = c.folder.owner.process(syscall.SIGINT)
	cmd.WaitDelay = waitDelay
	says := &voice{log: c.log}
	cmd.Stderr = says
	if err := cmd.Start(); err != nil {
		return err
	}
	ended := make(chan struct{})
	defer close(ended)
	go c.stopWhenAsked(cmd.Process, ended)
	if err := cmd.Wait(); err != nil {
		return fmt.Errorf("%w %s", err, says.worst)
	}
	return errors.New("it was stopped by somebody else")
}

// stopWhenAsked stops Postgres in good order and, if that takes too long, at once.
func (c *Cluster) stopWhenAsked(p *os.Process, ended <-chan struct{}) {
	select {
	case <-c.stop:
	case <-ended:
		return
	}
	p.Signal(syscall.SIGINT)
	select {
	case <-c.hurry:
	case <-time.After(stopPatience):
	case <-ended:
		return
	}
	c.log.Warn().Msg("Postgres did not stop in time and is stopped at once")
	p.Signal(syscall.SIGQUIT)
}

// awaitAnswer waits until Postgres takes connections and has our database.
func (c *Cluster) awaitAnswer(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, startPatience)
	defer cancel()
	for {
		conn, err := pgx.Connect(ctx, c.address("postgres"))
		if err == nil {
			defer conn.Close(ctx)
			return ensureDatabase(ctx, conn)
		}
		select {
		case <-ctx.Done():
			return errors.Join(ctx.Err(), err)
		case <-c.done:
			return c.err
		case <-time.After(20 * time.Millisecond):
		}
	}
}

func ensureDatabase(ctx context.Context, conn *pgx.Conn) error {
	var there bool
	err := conn.QueryRow(ctx, `SELECT EXISTS (SELECT FROM pg_database WHERE datname = $1)`, role).Scan(&there)
	if err != nil || there {
		return err
	}
	_, err = conn.Exec(ctx, `CREATE DATABASE `+role)
	return err
}

// onLockedThread keeps the thread that starts a process until the process has
// ended: the signal for when we die follows the thread.
func onLockedThread(do func() error) error {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	return do()
}
