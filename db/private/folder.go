package private

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
)

// folder is the data folder while it is ours:
//
//	lock      held for as long as we live
//	password  of the database user
//	data      the cluster; data.new while it is being made
//	run       the socket, or a link to a shorter folder with it
type folder struct {
	path         string // absolute
	owner        owner
	lock         *os.File
	socketFolder string
	closing      sync.Once
}

func parent(path string) string             { return filepath.Dir(path) }
func (f *folder) file(name string) string   { return filepath.Join(f.path, name) }
func (f *folder) data() string              { return f.file("data") }
func (f *folder) unfinished() string        { return f.file("data.new") }
func (f *folder) inData(name string) string { return filepath.Join(f.data(), name) }

// close gives the folder up.
func (f *folder) close() {
	f.closing.Do(func() {
		f.removeSocketFolder()
		f.lock.Close()
	})
}

// openFolder makes the folder where there is none and locks it.
func openFolder(path string) (*folder, error) {
	o, err := findOwner()
	if err != nil {
		return nil, err
	}
	f := &folder{owner: o}
	if f.path, err = realPath(path); err != nil {
		return nil, fmt.Errorf("make the data folder: %w", err)
	}
	if err := o.reaches(f.path); err != nil {
		return nil, err
	}
	if err := f.refuseForeign(); err != nil {
		return nil, err
	}
	if err := f.makeOwn(f.path); err != nil {
		return nil, fmt.Errorf("make the data folder: %w", err)
	}
	if err := f.takeLock(); err != nil {
		return nil, err
	}
	return f, nil
}

// realPath makes what leads to the folder, passable for others, and resolves links:
// the working folders of processes are known by their real path.
func realPath(path string) (string, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	if err := os.MkdirAll(parent(path), 0o755); err != nil {
		return "", err
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real, nil
	}
	above, err := filepath.EvalSymlinks(parent(path))
	return filepath.Join(above, filepath.Base(path)), err
}

// refuseForeign keeps us from shutting others out of a folder that was never ours.
func (f *folder) refuseForeign() error {
	entries, err := os.ReadDir(f.path)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("look into the data folder: %w", err)
	}
	for _, e := range entries {
		if e.Name() == "lock" {
			return nil
		}
	}
	if len(entries) > 0 {
		return fmt.Errorf("the folder %s holds other things: give a folder that is empty or not there yet", f.path)
	}
	return nil
}

// makeOwn makes a folder that nobody but the owner gets into.
func (f *folder) makeOwn(path string) error {
	if err := os.Mkdir(path, 0o700); err != nil && !errors.Is(err, os.ErrExist) {
		return err
	}
	if err := os.Chmod(path, 0o700); err != nil {
		return err
	}
	return f.owner.take(path)
}

// takeLock makes us the one owner, until we close the file or die.
func (f *folder) takeLock() error {
	lock, err := os.OpenFile(f.file("lock"), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return fmt.Errorf("lock the data folder: %w", err)
	}
	err = syscall.Flock(int(lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if err != nil {
		lock.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return &ErrOwned{Folder: f.path}
		}
		return fmt.Errorf("lock the data folder %s: %w", f.path, err)
	}
	f.lock = lock
	return nil
}

// version is the major version of the Postgres that made the data, empty when
// there is none yet.
func (f *folder) version() (string, error) {
	text, err := os.ReadFile(f.inData("PG_VERSION"))
	if errors.Is(err, os.ErrNotExist) {
		if _, err := os.Stat(f.data()); err == nil {
			return "", fmt.Errorf("%s is there but is no Postgres data: it has no PG_VERSION; nothing has been changed", f.data())
		}
		return "", nil
	}
	return strings.TrimSpace(string(text)), err
}

// postmaster is the process that postmaster.pid names, 0 when it names none.
func (f *folder) postmaster() int {
	text, err := os.ReadFile(f.inData("postmaster.pid"))
	if err != nil {
		return 0
	}
	first, _, _ := strings.Cut(string(text), "\n")
	pid, err := strconv.Atoi(strings.TrimSpace(first))
	if err != nil || pid < 0 {
		return 0
	}
	return pid
}

const (
	socketName    = ".s.PGSQL.5432"
	maxSocketPath = 107 // bytes, what the kernel takes
)

// makeSocketFolder makes the folder of the socket, a short one elsewhere when the
// path would be too long; then run is a link to it, so that the next start finds it.
func (f *folder) makeSocketFolder() error {
	f.removeSocketFolder()
	run := f.file("run")
	if len(filepath.Join(run, socketName)) <= maxSocketPath {
		f.socketFolder = run
		return f.makeOwn(run)
	}
	short, err := os.MkdirTemp("/tmp", role+"-")
	if err != nil {
		return fmt.Errorf("make a short folder for the socket: %w", err)
	}
	f.socketFolder = short
	if err := f.owner.take(short); err != nil {
		return err
	}
	return os.Symlink(short, run)
}

// removeSocketFolder removes the folder of the socket with what is in it: only
// sockets and their lock files, of processes that are known to be gone.
func (f *folder) removeSocketFolder() {
	run := f.file("run")
	if short, err := os.Readlink(run); err == nil && strings.HasPrefix(short, "/tmp/"+role+"-") {
		removeSockets(short)
	}
	removeSockets(run)
}

// clearSocket removes the socket of a Postgres that is gone, for the next one in
// the same folder.
func (f *folder) clearSocket() error {
	for _, name := range []string{socketName, socketName + ".lock"} {
		err := os.Remove(filepath.Join(f.socketFolder, name))
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	return nil
}

func removeSockets(folder string) {
	os.Remove(filepath.Join(folder, socketName))
	os.Remove(filepath.Join(folder, socketName+".lock"))
	os.Remove(folder)
}
