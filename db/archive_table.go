package db

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/jackc/pgx/v5"
)

// archived is every table that an archive holds besides those of a job's content,
// those that others refer to first.
var archived = []string{
	"account", "seat", "trade_link", "sign_in_link",
	"revision", "change", "receipt", "plan", "attachment", "issued_plan", "shown_window", "trial",
}

// leftOut is every table that it does not hold, and why.
var leftOut = map[string]string{
	migrationTable: "the manifest says which schema the rows are of",
	"session":      "who is signed in on which device: everybody signs in again",
	"search":       "a search that is wanted still is asked for again by itself",
	"comparison":   "it can be asked for again",
}

// archivedNames is all tables of an archive, in the order in which they are read.
func archivedNames() []string {
	names := make([]string, 0, len(tables)+len(archived))
	for _, t := range tables {
		names = append(names, t.shape().table)
	}
	return append(names, archived...)
}

// archivedTable is a table as the catalogue knows it.
type archivedTable struct {
	name    string
	columns []string // but those that follow from others
	order   string   // of the rows: by the primary key, the same under every collation
}

// archivedTables asks the catalogue about all tables of an archive.
func archivedTables(ctx context.Context, tx pgx.Tx) ([]archivedTable, error) {
	rows, err := tx.Query(ctx, `
		SELECT r.relname::text,
			array_agg(a.attname::text ORDER BY a.attnum) FILTER (WHERE a.attgenerated = ''),
			coalesce((SELECT string_agg(format('t.%I', k.attname) || CASE WHEN k.attcollation <> 0 THEN ' COLLATE "C"' ELSE '' END, ', ' ORDER BY n.nr)
				FROM pg_index i CROSS JOIN LATERAL unnest(i.indkey) WITH ORDINALITY AS n (attnum, nr)
				JOIN pg_attribute k ON k.attrelid = r.oid AND k.attnum = n.attnum
				WHERE i.indrelid = r.oid AND i.indisprimary), '')
		FROM pg_class r JOIN pg_attribute a ON a.attrelid = r.oid AND a.attnum > 0 AND NOT a.attisdropped
		WHERE r.relkind = 'r' AND r.relnamespace = 'public'::regnamespace AND r.relname = ANY ($1)
		GROUP BY r.oid, r.relname`, archivedNames())
	if err != nil {
		return nil, err
	}
	known, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (t archivedTable, err error) {
		err = row.Scan(&t.name, &t.columns, &t.order)
		return t, err
	})
	if err != nil {
		return nil, err
	}
	var all []archivedTable
	for _, name := range archivedNames() {
		at := slices.IndexFunc(known, func(t archivedTable) bool { return t.name == name })
		switch {
		case at < 0:
			return nil, fmt.Errorf("there is no table %q", name)
		case known[at].order == "":
			return nil, fmt.Errorf("the table %q has no primary key: its rows have no order", name)
		}
		all = append(all, known[at])
	}
	return all, nil
}

// write writes the rows, a line each, and returns how many there are.
func (t *archivedTable) write(ctx context.Context, tx pgx.Tx, w io.Writer) (int64, error) {
	rows, err := tx.Query(ctx, `SELECT row_to_json(r)::text FROM (
		SELECT `+list(t.columns, "t.")+` FROM `+quoted(t.name)+` t ORDER BY `+t.order+`) r`)
	if err != nil {
		return 0, err
	}
	defer rows.Close()
	count := int64(0)
	for ; rows.Next(); count++ {
		line := rows.RawValues()[0]
		if bytes.IndexByte(line, '\n') >= 0 { // between the words of a column of json, where it means nothing
			line = bytes.ReplaceAll(line, []byte{'\n'}, []byte{' '})
		}
		if _, err := w.Write(line); err != nil {
			return count, err
		}
		if _, err := w.Write([]byte{'\n'}); err != nil {
			return count, err
		}
	}
	return count, rows.Err()
}

// insert adds rows, each written as write does.
func (t *archivedTable) insert(ctx context.Context, tx pgx.Tx, lines [][]byte) error {
	if len(lines) == 0 {
		return nil
	}
	columns := list(t.columns, "")
	_, err := tx.Exec(ctx, `INSERT INTO `+quoted(t.name)+` (`+columns+`)
		SELECT `+columns+` FROM json_populate_recordset(NULL::`+quoted(t.name)+`, $1::json)`, "["+string(bytes.Join(lines, []byte{','}))+"]")
	return err
}

// migrationOf is the last migration that the schema has had.
func migrationOf(ctx context.Context, tx pgx.Tx) (number int64, err error) {
	err = tx.QueryRow(ctx, `SELECT max(version_id) FROM `+migrationTable+` WHERE is_applied`).Scan(&number)
	return number, err
}

// lockAgainstWriting keeps others from writing to the tables until the transaction ends.
func lockAgainstWriting(ctx context.Context, tx pgx.Tx, tables []archivedTable) error {
	names := make([]string, len(tables))
	for k := range tables {
		names[k] = quoted(tables[k].name)
	}
	_, err := tx.Exec(ctx, `LOCK TABLE `+strings.Join(names, ", ")+` IN EXCLUSIVE MODE`)
	return err
}
