package db

import (
	"strings"

	"github.com/jackc/pgx/v5"
)

// shape is a table as SQL sees it.
type shape struct {
	table   string
	columns []string // all but that of the job
	key     []string // tells the rows of one job apart; empty: a job has one
}

// jobColumn is the column with the job's ID.
func (s shape) jobColumn() string {
	if s.table == "job" {
		return "id"
	}
	return "job"
}

// Rows travel as one JSON array a statement, $2, which Postgres turns into rows of
// the table's own type; $1 is the job.

func (s shape) insert() string {
	return `INSERT INTO ` + quoted(s.table) + ` (` + s.jobColumn() + `, ` + list(s.columns, "") + `)
		SELECT $1, ` + list(s.columns, "") + `
		FROM json_populate_recordset(NULL::` + quoted(s.table) + `, $2::json)`
}

func (s shape) update() string {
	var set []string
	for _, c := range s.columns {
		set = append(set, quoted(c)+` = r.`+quoted(c))
	}
	return `UPDATE ` + quoted(s.table) + ` t SET ` + strings.Join(set, ", ") + `
		FROM json_populate_recordset(NULL::` + quoted(s.table) + `, $2::json) r
		WHERE t.` + s.jobColumn() + ` = $1` + s.sameKey()
}

func (s shape) delete() string {
	return `DELETE FROM ` + quoted(s.table) + ` t
		USING json_populate_recordset(NULL::` + quoted(s.table) + `, $2::json) r
		WHERE t.` + s.jobColumn() + ` = $1` + s.sameKey()
}

func (s shape) sameKey() string {
	var b strings.Builder
	for _, c := range s.key {
		b.WriteString(` AND t.` + quoted(c) + ` = r.` + quoted(c))
	}
	return b.String()
}

// selectAll is all rows of the job j, in order, as one JSON array.
func (s shape) selectAll() string {
	order := list(s.key, "t.")
	for _, c := range s.columns {
		if c == "nr" {
			order = "t.nr"
		}
	}
	if order != "" {
		order = " ORDER BY " + order
	}
	return `(SELECT coalesce(json_agg(r), '[]') FROM (
		SELECT ` + list(s.columns, "t.") + ` FROM ` + quoted(s.table) + ` t WHERE t.` + s.jobColumn() + ` = j.id` + order + `) r)`
}

func quoted(name string) string { return pgx.Identifier{name}.Sanitize() }

func list(names []string, prefix string) string {
	all := make([]string, len(names))
	for k, n := range names {
		all[k] = prefix + quoted(n)
	}
	return strings.Join(all, ", ")
}
