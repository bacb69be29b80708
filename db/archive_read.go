package db

import (
	"archive/tar"
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// Why an archive is not imported.
var (
	ErrDamaged      = errors.New("the archive is cut short or altered")
	ErrOtherSchema  = errors.New("the archive is of another version")
	ErrNotEmpty     = errors.New("the database is not empty")
	errNoMoreThan   = fmt.Errorf("%w: there is more in it than its manifest names", ErrDamaged)
	errLessThanThat = fmt.Errorf("%w: it ends before all that its manifest names", ErrDamaged)
)

const (
	maxManifest = 64 << 20
	batchRows   = 1000
	batchBytes  = 8 << 20 // rows of one statement, about
)

// Import puts an archive into a database that has nothing yet, all of it or
// nothing. Its errors are ErrDamaged, ErrOtherSchema and ErrNotEmpty where that is
// what is wrong.
func (s *Store) Import(ctx context.Context, r io.Reader) (*Manifest, error) {
	a, err := openArchive(r)
	if err != nil {
		return nil, err
	}
	err = pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SET CONSTRAINTS ALL DEFERRED`); err != nil {
			return err
		}
		if err := a.suits(ctx, tx); err != nil {
			return err
		}
		tables, err := archivedTables(ctx, tx)
		if err != nil {
			return err
		}
		if err := lockAgainstWriting(ctx, tx, tables); err != nil {
			return err
		}
		if err := areEmpty(ctx, tx, tables); err != nil {
			return err
		}
		if err := a.into(ctx, tx, tables); err != nil {
			return err
		}
		return a.arrived(ctx, tx, tables)
	})
	if err != nil {
		return nil, fmt.Errorf("import an archive: %w", explain(err))
	}
	return a.manifest, nil
}

// archive is one that is being read.
type archive struct {
	manifest *Manifest
	zipped   *gzip.Reader
	packed   *tar.Reader
}

func openArchive(r io.Reader) (*archive, error) {
	zipped, err := gzip.NewReader(r)
	if err != nil {
		return nil, fmt.Errorf("%w, or no archive at all: %w", ErrDamaged, err)
	}
	a := &archive{zipped: zipped, packed: tar.NewReader(zipped)}
	head, err := a.packed.Next()
	if err != nil || head.Name != manifestName || head.Size > maxManifest {
		return nil, fmt.Errorf("%w, or no archive at all: it does not begin with %s", ErrDamaged, manifestName)
	}
	text, err := io.ReadAll(a.packed)
	if err != nil {
		return nil, damaged(err)
	}
	if err := json.Unmarshal(text, &a.manifest); err != nil || a.manifest == nil || a.manifest.Format != archiveFormat {
		return nil, fmt.Errorf("%w: its %s cannot be read", ErrDamaged, manifestName)
	}
	if v := a.manifest.Version; v != archiveVersion {
		return nil, fmt.Errorf("%w: it is laid out in way %d, this program knows way %d; use the version of Gaugerod that made it, or a newer one", ErrOtherSchema, v, archiveVersion)
	}
	return a, nil
}

func damaged(err error) error { return fmt.Errorf("%w: %w", ErrDamaged, err) }

// suits says whether the rows are of the schema that the database has.
func (a *archive) suits(ctx context.Context, tx pgx.Tx) error {
	own, err := migrationOf(ctx, tx)
	if err != nil {
		return err
	}
	switch its := a.manifest.Migration; {
	case its > own:
		return fmt.Errorf("%w: its rows are of migration %d, this program ends at %d; import it with the version that made it, or a newer one of the same migration", ErrOtherSchema, its, own)
	case its < own:
		return fmt.Errorf("%w: its rows are of migration %d, this program is at %d; import it into a fresh database with the version that made it, then start this version over that database, which brings it up to date", ErrOtherSchema, its, own)
	}
	return nil
}

// areEmpty is ErrNotEmpty when one of the tables has a row.
func areEmpty(ctx context.Context, tx pgx.Tx, tables []archivedTable) error {
	for _, t := range tables {
		var some bool
		if err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM `+quoted(t.name)+`)`).Scan(&some); err != nil {
			return err
		}
		if some {
			return fmt.Errorf("%w: there is something in the table %s; an archive goes into a fresh database, made with createdb or in a new data folder", ErrNotEmpty, t.name)
		}
	}
	return nil
}

// into reads the files in the order of the manifest and puts the rows into the tables.
func (a *archive) into(ctx context.Context, tx pgx.Tx, tables []archivedTable) error {
	if len(a.manifest.Files) < len(tables) {
		return errLessThanThat
	}
	for k, want := range a.manifest.Files {
		head, err := a.packed.Next()
		if errors.Is(err, io.EOF) {
			return errLessThanThat
		}
		if err != nil {
			return damaged(err)
		}
		if head.Name != want.Name {
			return fmt.Errorf("%w: where %s should be is %s", ErrDamaged, want.Name, head.Name)
		}
		m := newMeasuring()
		content := io.TeeReader(a.packed, m)
		var rows *int64
		switch {
		case k < len(tables) && want.Name == tableFile(tables[k].name):
			n, err := tables[k].read(ctx, tx, content)
			if err != nil {
				return fmt.Errorf("%s: %w", want.Name, whetherDamaged(err, content, m, want))
			}
			rows = &n
		case k >= len(tables) && strings.HasPrefix(want.Name, "jobs/"): // for reading only
			if _, err := io.Copy(io.Discard, content); err != nil {
				return damaged(err)
			}
		default:
			return fmt.Errorf("%w: %s has no place in an archive of this version", ErrDamaged, want.Name)
		}
		if got := m.file(want.Name, rows); !got.same(want) {
			return fmt.Errorf("%w: %s is not what its checksum was made of", ErrDamaged, want.Name)
		}
	}
	return a.end()
}

// whetherDamaged is why rows could not be put into their table: where the file is not
// what it was, that is the reason and what the database says of it is not.
func whetherDamaged(err error, rest io.Reader, m *measuring, want ArchivedFile) error {
	if _, ok := errors.AsType[*pgconn.PgError](err); !ok {
		return err
	}
	_, unread := io.Copy(io.Discard, rest)
	if got := m.file("", nil); unread == nil && got.same(want) {
		return err
	}
	return damaged(err)
}

// end says whether the archive ends where its manifest does, and whole.
func (a *archive) end() error {
	if _, err := a.packed.Next(); err == nil {
		return errNoMoreThan
	} else if !errors.Is(err, io.EOF) {
		return damaged(err)
	}
	// The checksum of the whole stands behind the end of what is packed.
	if _, err := io.Copy(io.Discard, a.zipped); err != nil {
		return damaged(err)
	}
	return nil
}

// read reads lines as write wrote them, and returns how many there were.
func (t *archivedTable) read(ctx context.Context, tx pgx.Tx, r io.Reader) (int64, error) {
	lines := bufio.NewReaderSize(r, 64<<10)
	count, size := int64(0), 0
	var batch [][]byte
	for {
		line, err := lines.ReadBytes('\n')
		if errors.Is(err, io.EOF) && len(line) == 0 {
			break
		}
		if err != nil {
			return count, damaged(err)
		}
		line = bytes.TrimSuffix(line, []byte{'\n'})
		if !json.Valid(line) {
			return count, fmt.Errorf("%w: line %d is no JSON", ErrDamaged, count+1)
		}
		count++
		batch, size = append(batch, line), size+len(line)
		if len(batch) == batchRows || size > batchBytes {
			if err := t.insert(ctx, tx, batch); err != nil {
				return count, err
			}
			batch, size = nil, 0
		}
	}
	return count, t.insert(ctx, tx, batch)
}

// arrived says whether an archive made now would hold the same rows: whatever is
// not kept as it was is found here, and nothing is kept.
func (a *archive) arrived(ctx context.Context, tx pgx.Tx, tables []archivedTable) error {
	for k, t := range tables {
		got, err := measure(func(w io.Writer) (*int64, error) {
			rows, err := t.write(ctx, tx, w)
			return &rows, err
		})
		if err != nil {
			return err
		}
		if !got.same(a.manifest.Files[k]) {
			return fmt.Errorf("the rows of %s did not arrive as they were written", t.name)
		}
	}
	return nil
}
