package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"gaugerod/db"
)

// everything writes an archive of the whole database.
func (c *exportCommand) everything(ctx context.Context, s streams, d *database) error {
	if c.All == "-" {
		if onTerminal(s.out) {
			return errors.New("an archive is no text to be read on a terminal; name a file, or lead the output into one")
		}
		_, err := d.Export(ctx, s.out)
		return err
	}
	var manifest *db.Manifest
	err := during(s.err, "Writing the archive", func() error {
		return intoFile(c.All, func(w io.Writer) (err error) {
			manifest, err = d.Export(ctx, w)
			return err
		})
	})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "%s: %s\n", c.All, counted(manifest))
	return err
}

// intoFile writes a file, for its owner alone, that is there whole or not at all. One
// that was there is replaced.
func intoFile(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
		}
	}()
	if err := errors.Join(write(f), f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// counted says what is in an archive.
func counted(m *db.Manifest) string {
	return fmt.Sprintf("jobs: %d, lines of history: %d, plans: %d", m.Rows("job"), m.Rows("change"), m.Rows("plan"))
}
