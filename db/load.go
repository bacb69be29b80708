package db

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// standing tells the states of a job apart. A database that was put back to an earlier
// state can come to the same revision twice, but not at the same time.
type standing struct {
	revision int64
	changed  time.Time
}

func (a standing) is(b standing) bool { return a.revision == b.revision && a.changed.Equal(b.changed) }

// state is a job as the database has it.
type state struct {
	standing
	job    *scheduler.Job // nil: there is none
	tables []decoded
}

// rows is the rows of each table.
func (s *state) rows() [][]row { return rowsIn(s.tables) }

func rowsIn(all []decoded) [][]row {
	rows := make([][]row, len(tables)) // without any where there is no job yet
	for k := range all {
		rows[k] = all[k].rows()
	}
	return rows
}

// changedRows is the rows before and after of the tables that are not kept as they
// were; none of the others.
func changedRows(before, after []decoded) (was, is [][]row) {
	was, is = make([][]row, len(tables)), make([][]row, len(tables))
	for k := range after {
		if after[k].kept {
			continue
		}
		is[k] = after[k].rows()
		if before != nil {
			was[k] = before[k].rows()
		}
	}
	return was, is
}

// selectJob reads a whole job in one statement, and so in one state: its revision
// and then the rows of each table as a JSON array.
var selectJob = func() string {
	columns := []string{"j.revision", "j.changed_at"}
	for _, t := range tables {
		columns = append(columns, t.shape().selectAll())
	}
	return "SELECT " + strings.Join(columns, ",\n\t") + "\nFROM job j WHERE j.id = $1"
}()

// querier is a pool or a transaction.
type querier interface {
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
}

// load reads a job; scheduler.ErrNotFound when there is none of that ID.
func load(ctx context.Context, q querier, id scheduler.ID) (*state, error) {
	s := &state{tables: make([]decoded, len(tables))}
	texts := make([][]byte, len(tables))
	into := []any{&s.revision, &s.changed}
	for k := range texts {
		into = append(into, &texts[k])
	}
	err := q.QueryRow(ctx, selectJob, string(id)).Scan(into...)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, notFound(id)
	}
	if err != nil {
		return nil, fmt.Errorf("read job %q: %w", id, explain(err))
	}
	for k, t := range tables {
		if s.tables[k], err = t.decode(texts[k]); err != nil {
			return nil, fmt.Errorf("read job %q: %w", id, err)
		}
	}
	s.job = s.join(id)
	return s, nil
}

func notFound(id scheduler.ID) error { return fmt.Errorf("job %q: %w", id, scheduler.ErrNotFound) }
