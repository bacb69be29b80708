package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/rs/zerolog"

	"gaugerod/db"
	"gaugerod/db/private"
)

// databaseFlags say where the jobs are kept.
type databaseFlags struct {
	Database string `env:"GAUGEROD_DATABASE" placeholder:"ADDRESS" help:"Address of a Postgres database, as libpq takes it. Without one a Postgres of its own runs in the data folder."`
	Data     string `env:"GAUGEROD_DATA" placeholder:"FOLDER" help:"Data folder of the Postgres of its own (${data})." completion:"folder"`
	Postgres string `env:"GAUGEROD_POSTGRES" placeholder:"FOLDER" help:"Where the programs postgres and initdb are; otherwise the usual places are searched." completion:"folder"`
}

// database is an open store and, where it is ours, the Postgres below it.
type database struct {
	*db.Store
	cluster *private.Cluster
}

// defaultData is the data folder where none is given.
func defaultData() string {
	folder, err := private.DefaultFolder()
	if err != nil {
		return ""
	}
	return folder
}

// open connects to the database, starting one of its own where no address is given,
// and brings its schema up to date.
func (f databaseFlags) open(ctx context.Context, now func() time.Time, log zerolog.Logger) (*database, error) {
	d := &database{}
	address := f.Database
	if address == "" {
		var err error
		if d.cluster, err = f.start(ctx, log); err != nil {
			return nil, err
		}
		address = d.cluster.Address()
	}
	return d, d.connect(ctx, address, now)
}

func (f databaseFlags) start(ctx context.Context, log zerolog.Logger) (*private.Cluster, error) {
	folder := f.folder()
	if folder == "" {
		return nil, errors.New("there is no home folder to keep the data in; name a folder with --data or GAUGEROD_DATA, or a database with --database")
	}
	return private.Start(ctx, private.Config{Folder: folder, Binaries: f.Postgres, Log: log})
}

func (f databaseFlags) folder() string {
	if f.Data != "" {
		return f.Data
	}
	return defaultData()
}

// visit is open for a command that comes and goes: where a service runs its own
// Postgres in the data folder, that one is used.
func (f databaseFlags) visit(ctx context.Context, s streams) (d *database, err error) {
	err = during(s.err, "Opening the database", func() error {
		d, err = f.open(ctx, s.now, warnings(s.err))
		if _, owned := errors.AsType[*private.ErrOwned](err); !owned {
			return err
		}
		address, e := private.Join(f.folder())
		if e != nil {
			return errors.Join(err, e)
		}
		d = &database{}
		return d.connect(ctx, address, s.now)
	})
	return d, err
}

func (d *database) connect(ctx context.Context, address string, now func() time.Time) (err error) {
	if d.Store, err = db.Open(ctx, address, now); err == nil {
		err = d.Migrate(ctx)
	}
	if err != nil {
		err = fmt.Errorf("open the database: %w", err)
		return errors.Join(err, d.close(ctx))
	}
	return nil
}

// close gives the database up and stops the Postgres that is ours, in good order
// even when ctx has ended.
func (d *database) close(ctx context.Context) error {
	if d.Store != nil {
		d.Close()
	}
	if d.cluster == nil {
		return nil
	}
	return d.cluster.Stop(context.WithoutCancel(ctx))
}

// within opens the database, does something with it and closes it again.
func (f databaseFlags) within(ctx context.Context, s streams, do func(*database) error) error {
	d, err := f.visit(ctx, s)
	if err != nil {
		return err
	}
	return errors.Join(do(d), d.close(ctx))
}

// warnings is a log for commands that talk to people: only what went wrong.
func warnings(w io.Writer) zerolog.Logger {
	return zerolog.New(zerolog.ConsoleWriter{Out: w, NoColor: true}).Level(zerolog.WarnLevel)
}
