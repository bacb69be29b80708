package db

import (
	"archive/tar"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// An archive is everything of a database as files that a person can open: a tar,
// packed with gzip, of
//
//	manifest.json          what is in it, and the checksum of every file
//	tables/NAME.ndjson     the rows of a table, a JSON object a line
//	jobs/NAME.job.yaml     each job as a job file, for reading
//
// Two archives of the same state are the same but for the time in them. The
// checksums find damage; they are no seal against somebody who means to deceive.

const (
	archiveFormat  = "gaugerod archive"
	archiveVersion = 1
	manifestName   = "manifest.json"
)

// Manifest is the first file of an archive.
type Manifest struct {
	Format    string         `json:"format"`
	Version   int            `json:"version"`   // of the way in which the archive is laid out
	Migration int64          `json:"migration"` // the last one of the schema that the rows are of
	Made      time.Time      `json:"made"`
	Files     []ArchivedFile `json:"files"` // the others, in their order
}

// ArchivedFile is one of the files of an archive.
type ArchivedFile struct {
	Name   string `json:"name"`
	Rows   *int64 `json:"rows,omitempty"` // of a table
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// Rows is how many rows of a table there are in the archive.
func (m *Manifest) Rows(table string) int64 {
	for _, f := range m.Files {
		if f.Name == tableFile(table) && f.Rows != nil {
			return *f.Rows
		}
	}
	return 0
}

func tableFile(table string) string              { return "tables/" + table + ".ndjson" }
func jobFileOf(id scheduler.ID) string           { return "jobs/" + string(id) + ".job.yaml" }
func (f *ArchivedFile) same(o ArchivedFile) bool { return f.Bytes == o.Bytes && f.SHA256 == o.SHA256 }

// Export writes an archive of one state of the whole database, while others go on
// reading and writing.
func (s *Store) Export(ctx context.Context, w io.Writer) (manifest *Manifest, err error) {
	state := pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly}
	err = pgx.BeginTxFunc(ctx, s.pool, state, func(tx pgx.Tx) error {
		e, err := newExport(ctx, tx)
		if err != nil {
			return err
		}
		// Twice over the same state: a manifest that comes first has to know what follows.
		manifest = &Manifest{Format: archiveFormat, Version: archiveVersion, Migration: e.migration, Made: s.now().UTC().Truncate(time.Second)}
		for _, f := range e.files {
			file, err := measure(f.write)
			if err != nil {
				return err
			}
			file.Name = f.name
			manifest.Files = append(manifest.Files, file)
		}
		return e.pack(w, manifest)
	})
	if err != nil {
		return nil, fmt.Errorf("write an archive: %w", explain(err))
	}
	return manifest, nil
}

// export is the files of an archive before they are written.
type export struct {
	migration int64
	files     []exportedFile
}

type exportedFile struct {
	name  string
	write func(io.Writer) (rows *int64, err error)
}

func newExport(ctx context.Context, tx pgx.Tx) (*export, error) {
	e := &export{}
	var err error
	if e.migration, err = migrationOf(ctx, tx); err != nil {
		return nil, err
	}
	tables, err := archivedTables(ctx, tx)
	if err != nil {
		return nil, err
	}
	for _, t := range tables {
		e.files = append(e.files, exportedFile{tableFile(t.name), func(w io.Writer) (*int64, error) {
			rows, err := t.write(ctx, tx, w)
			return &rows, err
		}})
	}
	rows, err := tx.Query(ctx, `SELECT id FROM job ORDER BY id COLLATE "C"`)
	if err != nil {
		return nil, err
	}
	ids, err := pgx.CollectRows(rows, pgx.RowTo[string])
	for _, id := range ids {
		e.files = append(e.files, exportedFile{jobFileOf(scheduler.ID(id)), func(w io.Writer) (*int64, error) {
			return nil, writeJobFile(ctx, tx, scheduler.ID(id), w)
		}})
	}
	return e, err
}

func writeJobFile(ctx context.Context, tx pgx.Tx, id scheduler.ID, w io.Writer) error {
	state, err := load(ctx, tx, id)
	if err != nil {
		return err
	}
	text, err := jobfile.Write(state.job)
	if err != nil {
		return fmt.Errorf("write job %q as a file: %w", id, err)
	}
	_, err = w.Write(text)
	return err
}

func (e *export) pack(w io.Writer, manifest *Manifest) error {
	zipped := gzip.NewWriter(w)
	packed := tar.NewWriter(zipped)
	head := func(name string, size int64) error {
		return packed.WriteHeader(&tar.Header{
			Typeflag: tar.TypeReg, Name: name, Size: size, Mode: 0o600, ModTime: manifest.Made, Format: tar.FormatPAX,
		})
	}
	text, err := json.MarshalIndent(manifest, "", "  ")
	if err != nil {
		return err
	}
	text = append(text, '\n')
	if err := head(manifestName, int64(len(text))); err != nil {
		return err
	}
	if _, err := packed.Write(text); err != nil {
		return err
	}
	for k, f := range e.files {
		if err := head(f.name, manifest.Files[k].Bytes); err != nil {
			return err
		}
		if _, err := f.write(packed); err != nil {
			return fmt.Errorf("%s: %w", f.name, err)
		}
	}
	return errors.Join(packed.Close(), zipped.Close())
}

// measuring counts what is written to it and sums it up.
type measuring struct {
	sum   hash.Hash
	bytes int64
}

func newMeasuring() *measuring { return &measuring{sum: sha256.New()} }

func (m *measuring) Write(b []byte) (int, error) {
	m.bytes += int64(len(b))
	return m.sum.Write(b)
}

func (m *measuring) file(name string, rows *int64) ArchivedFile {
	return ArchivedFile{Name: name, Rows: rows, Bytes: m.bytes, SHA256: hex.EncodeToString(m.sum.Sum(nil))}
}

// measure is what a file would be, without keeping it.
func measure(write func(io.Writer) (*int64, error)) (ArchivedFile, error) {
	m := newMeasuring()
	rows, err := write(m)
	return m.file("", rows), err
}
