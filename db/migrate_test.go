package db_test

import (
	"flag"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"

	"gaugerod/db"
	"gaugerod/db/dbtest"
)

var update = flag.Bool("update", false, "write schema.sql anew")

func TestFourMigrateAtOnce(t *testing.T) {
	t.Parallel()
	address := dbtest.Empty(t)
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			store, err := db.Open(t.Context(), address, noon)
			if err != nil {
				t.Error(err)
				return
			}
			defer store.Close()
			if err := store.Migrate(t.Context()); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	files, err := filepath.Glob("migrations/*.sql")
	if err != nil {
		t.Fatal(err)
	}
	store, conn := at(t, address)
	rows, err := conn.Query(t.Context(), `SELECT version_id FROM migration WHERE version_id > 0 ORDER BY id`)
	if err != nil {
		t.Fatal(err)
	}
	done, err := pgx.CollectRows(rows, pgx.RowTo[int])
	if err != nil {
		t.Fatal(err)
	}
	var want []int
	for _, f := range files { // Glob sorts them
		n, err := strconv.Atoi(filepath.Base(f)[:5])
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, n)
	}
	if d := cmp.Diff(want, done); d != "" {
		t.Errorf("migrations done (-want +got):\n%s", d)
	}
	put(t, store, everyFeature(t))
	if err := store.Migrate(t.Context()); err != nil {
		t.Errorf("once more: %v", err)
	}
}

// TestSchemaFile holds the committed schema against what the migrations make.
func TestSchemaFile(t *testing.T) {
	t.Parallel()
	_, conn := at(t, dbtest.Address(t))
	got := describe(t, conn)
	if *update {
		if err := os.WriteFile("schema.sql", []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("schema.sql")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), got); d != "" {
		t.Errorf("schema.sql is stale; look at the difference, then go test ./db -run Schema -update:\n%s", d)
	}
}

const describeDomains = `
		SELECT format(E'\nCREATE DOMAIN %I AS %s\n    %s;\nCOMMENT ON DOMAIN %I IS %L;\n', t.typname, format_type(t.typbasetype, t.typtypmod),
			string_agg(format('CONSTRAINT %I %s', c.conname, pg_get_constraintdef(c.oid)), E'\n    ' ORDER BY c.conname),
			t.typname, obj_description(t.oid, 'pg_type'))
		FROM pg_type t JOIN pg_constraint c ON c.contypid = t.oid
		WHERE t.typtype = 'd' AND t.typnamespace = 'public'::regnamespace
		GROUP BY t.oid ORDER BY t.typname`

const describeTables = `
		SELECT format(E'\nCREATE TABLE %I (\n%s\n);\n', r.relname, string_agg(line, E',\n' ORDER BY sort, nr, line))
			|| coalesce(format(E'COMMENT ON TABLE %I IS %L;\n', r.relname, obj_description(r.oid, 'pg_class')), '')
			|| coalesce((SELECT string_agg(format(E'COMMENT ON COLUMN %I.%I IS %L;\n', r.relname, attname, col_description(r.oid, attnum)), '' ORDER BY attnum)
				FROM pg_attribute WHERE attrelid = r.oid AND attnum > 0 AND col_description(r.oid, attnum) IS NOT NULL), '')
			|| coalesce((SELECT string_agg(pg_get_indexdef(i.indexrelid) || E';\n', '' ORDER BY i.indexrelid)
				FROM pg_index i WHERE i.indrelid = r.oid AND NOT EXISTS (SELECT FROM pg_constraint WHERE conindid = i.indexrelid AND contype IN ('p', 'u'))), '')
		FROM pg_class r JOIN LATERAL (
			SELECT 1 AS sort, a.attnum AS nr, format('    %I %s%s%s', a.attname, format_type(a.atttypid, a.atttypmod),
				CASE WHEN a.attnotnull THEN ' NOT NULL' ELSE '' END,
				CASE WHEN a.attgenerated <> '' THEN ' GENERATED ALWAYS AS (' || pg_get_expr(d.adbin, d.adrelid) || ') STORED'
					ELSE coalesce(' DEFAULT ' || pg_get_expr(d.adbin, d.adrelid), '') END) AS line
			FROM pg_attribute a LEFT JOIN pg_attrdef d ON d.adrelid = a.attrelid AND d.adnum = a.attnum
			WHERE a.attrelid = r.oid AND a.attnum > 0 AND NOT a.attisdropped
			UNION ALL
			SELECT CASE c.contype WHEN 'p' THEN 2 WHEN 'f' THEN 3 ELSE 4 END, 0, format('    CONSTRAINT %I %s', c.conname, pg_get_constraintdef(c.oid))
			FROM pg_constraint c WHERE c.conrelid = r.oid AND c.contype IN ('p', 'u', 'f', 'c')
		) AS parts ON true
		WHERE r.relkind = 'r' AND r.relnamespace = 'public'::regnamespace AND r.relname <> 'migration'
		GROUP BY r.oid, r.relname ORDER BY r.relname`

// describe writes the schema from the catalogue, the same for every version of
// Postgres.
func describe(t *testing.T, conn *pgx.Conn) string {
	t.Helper()
	text := "-- What the migrations make, for reading. Written by: go test ./db -run Schema -update\n"
	for _, query := range []string{describeDomains, describeTables} {
		rows, err := conn.Query(t.Context(), query)
		if err != nil {
			t.Fatal(err)
		}
		parts, err := pgx.CollectRows(rows, pgx.RowTo[string])
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range parts {
			text += p
		}
	}
	return text
}

// TestEverythingIsDescribed asks for a comment on every table.
func TestEverythingIsDescribed(t *testing.T) {
	t.Parallel()
	_, conn := at(t, dbtest.Address(t))
	rows, err := conn.Query(t.Context(), `SELECT relname::text FROM pg_class
		WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND relname <> 'migration' AND obj_description(oid, 'pg_class') IS NULL`)
	if err != nil {
		t.Fatal(err)
	}
	if bare, err := pgx.CollectRows(rows, pgx.RowTo[string]); err != nil || len(bare) > 0 {
		t.Errorf("tables without a comment: %v (%v)", bare, err)
	}
}
