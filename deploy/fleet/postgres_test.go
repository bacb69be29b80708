package fleet

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"syscall"

	"github.com/jackc/pgx/v5"
)

// postgres is a server of our own that can be stopped in every way and started again.
// It answers in a socket of its folder alone.
type postgres struct {
	programs, folder string
	as               *syscall.Credential // nil: ourselves
	process          *process
}

func newPostgres(above string) (*postgres, error) {
	p := &postgres{folder: filepath.Join(above, "postgres")}
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if err != nil {
		return nil, err
	}
	if path, err := exec.LookPath("initdb"); err == nil {
		found = append(found, path)
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("no programs of Postgres: deploy/need postgres=postgresql")
	}
	slices.Sort(found)
	p.programs = filepath.Dir(found[len(found)-1])
	if err := os.Mkdir(p.folder, 0o700); err != nil {
		return nil, err
	}
	if os.Geteuid() == 0 { // Postgres does not run as root
		if p.as, err = somebodyElse(); err != nil {
			return nil, err
		}
		if err := os.Chown(p.folder, int(p.as.Uid), int(p.as.Gid)); err != nil {
			return nil, err
		}
	}
	create, err := run(above, "initdb", syscall.SIGKILL, p.as, bare(), filepath.Join(p.programs, "initdb"),
		"--pgdata", p.data(), "--username", "gaugerod", "--auth", "trust", "--encoding", "UTF8", "--locale", "C.UTF-8", "--data-checksums", "--no-sync")
	if err != nil {
		return nil, err
	}
	<-create.ended
	if !create.cmd.ProcessState.Success() {
		return nil, fmt.Errorf("initdb: %s", tail(create.said, 20))
	}
	if err := p.start(); err != nil {
		return nil, err
	}
	return p, p.execute(context.Background(), `CREATE DATABASE gaugerod`)
}

func somebodyElse() (*syscall.Credential, error) {
	for _, name := range []string{"postgres", "nobody"} {
		if u, err := user.Lookup(name); err == nil {
			uid, e1 := strconv.Atoi(u.Uid)
			gid, e2 := strconv.Atoi(u.Gid)
			if e1 == nil && e2 == nil {
				return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid), Groups: []uint32{}}, nil
			}
		}
	}
	return nil, fmt.Errorf("there is neither a user postgres nor a user nobody")
}

func (p *postgres) data() string { return filepath.Join(p.folder, "data") }

// address is what --database takes.
func (p *postgres) address() string { return "host=" + p.folder + " user=gaugerod dbname=gaugerod" }

// start starts it and waits until it answers. After a kill that may take several
// attempts: what is left of the old one has to go first.
func (p *postgres) start() error {
	return until("start Postgres", func() (err error) {
		if p.process == nil || !p.process.running() {
			p.process, err = run(filepath.Dir(p.folder), "postgres", syscall.SIGQUIT, p.as, bare(), filepath.Join(p.programs, "postgres"),
				"-D", p.data(), "-k", p.folder, "-c", "listen_addresses=", "-c", "max_connections=200", "-c", "timezone=UTC")
			if err != nil {
				return err
			}
		}
		return p.execute(context.Background(), `SELECT 1`)
	})
}

// restart stops it, by the signal that says how, and starts it again.
func (p *postgres) restart(how syscall.Signal) error {
	if err := p.process.end(how); err != nil {
		return err
	}
	return p.start()
}

// execute runs a statement over a connection of its own, in the database that there
// always is.
func (p *postgres) execute(ctx context.Context, sql string, args ...any) error {
	conn, err := pgx.Connect(ctx, "host="+p.folder+" user=gaugerod dbname=postgres connect_timeout=5")
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, sql, args...)
	return err
}

// cut cuts connections of the instances, this share of them.
func (p *postgres) cut(ctx context.Context, share float64) error {
	return p.execute(ctx, `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'gaugerod' AND random() < $1`, share)
}
