package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"gaugerod/db"
)

type importCommand struct {
	File string `arg:"" help:"An archive that 'gaugerod export --all' has written; - reads the standard input." completion:"file"`

	databaseFlags
}

func (importCommand) Help() string {
	return "The database must be fresh: nothing is replaced or merged. All of the archive goes in, or nothing. " +
		"Sessions are not in it: everybody signs in again.\n\n" +
		example("gaugerod import backup.tar.gz")
}

func (c *importCommand) Run(ctx context.Context, s streams) error {
	in := s.in
	if c.File != "-" {
		f, err := os.Open(c.File)
		if err != nil {
			return cannotRead(c.File, err)
		}
		defer f.Close()
		in = f
	}
	return c.within(ctx, s, func(d *database) error { return c.read(ctx, s, d, in) })
}

func (c *importCommand) read(ctx context.Context, s streams, d *database, in io.Reader) error {
	var manifest *db.Manifest
	err := during(s.err, "Reading the archive", func() (err error) {
		manifest, err = d.Import(ctx, in)
		return err
	})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "Imported what there was at %s: %s\n", manifest.Made.Format(time.RFC3339), counted(manifest))
	return err
}
