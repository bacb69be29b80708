package private

import (
	"errors"
	"fmt"
	"os"
	"os/user"
	"strconv"
	"syscall"
)

// owner is the user that Postgres runs as and that its files belong to: ourselves,
// unless we are root, as whom Postgres refuses to run.
type owner struct {
	name     string
	uid, gid int
	switched bool // not ourselves
}

// findOwner is user postgres for root, else nobody; otherwise ourselves.
func findOwner() (owner, error) {
	if os.Geteuid() != 0 {
		return owner{name: strconv.Itoa(os.Geteuid()), uid: os.Geteuid(), gid: os.Getegid()}, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		uid, errUID := strconv.Atoi(u.Uid)
		gid, errGID := strconv.Atoi(u.Gid)
		if errUID == nil && errGID == nil && uid != 0 {
			return owner{name: name, uid: uid, gid: gid, switched: true}, nil
		}
	}
	return owner{}, errors.New("Postgres does not run as root, and there is neither a user postgres nor a user nobody to run it as")
}

// take makes a file or folder the owner's.
func (o owner) take(path string) error {
	if !o.switched {
		return nil
	}
	return os.Chown(path, o.uid, o.gid)
}

// process is how a program of the owner is started: a process group of its own, so
// that Ctrl-C reaches us first, and a signal to it when the thread that started it
// ends.
func (o owner) process(whenWeDie syscall.Signal) *syscall.SysProcAttr {
	attr := &syscall.SysProcAttr{Setpgid: true, Pdeathsig: whenWeDie}
	if o.switched {
		attr.Credential = &syscall.Credential{Uid: uint32(o.uid), Gid: uint32(o.gid), Groups: []uint32{}}
	}
	return attr
}

// reaches says what on the way to an absolute folder the owner may not pass.
func (o owner) reaches(path string) error {
	if !o.switched {
		return nil
	}
	for at := parent(path); ; at = parent(at) {
		info, err := os.Stat(at)
		if err != nil {
			return fmt.Errorf("look at %s: %w", at, err)
		}
		stat := info.Sys().(*syscall.Stat_t)
		bit := os.FileMode(0o001)
		switch {
		case int(stat.Uid) == o.uid:
			bit = 0o100
		case int(stat.Gid) == o.gid:
			bit = 0o010
		}
		if info.Mode().Perm()&bit == 0 {
			return &ErrUnreachable{Folder: path, User: o.name, Barrier: at}
		}
		if at == "/" {
			return nil
		}
	}
}
