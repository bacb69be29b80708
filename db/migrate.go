package db

import (
	"context"
	"embed"
	"fmt"
	"io/fs"

	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
)

// Migrations are numbered and never edited once landed.
//
//go:embed migrations/*.sql
var migrations embed.FS

// migrationTable is where goose notes what has been done.
const migrationTable = "migration"

// Migrate brings the schema up to date, that of the queue included. Any number may
// call it at once: one does the work, the others wait.
func (s *Store) Migrate(ctx context.Context) error {
	if err := s.alone(ctx, "gaugerod schema", s.migrate); err != nil {
		return fmt.Errorf("bring the schema up to date: %w", explain(err))
	}
	return nil
}

func (s *Store) migrate(ctx context.Context) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	sql := stdlib.OpenDBFromPool(s.pool)
	defer sql.Close()
	provider, err := goose.NewProvider(goose.DialectPostgres, sql, files,
		goose.WithTableName(migrationTable), goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return err
	}
	if _, err := provider.Up(ctx); err != nil {
		return err
	}
	return s.migrateQueue(ctx)
}

// alone does something while no other process does anything of the same name. Who
// comes second waits.
func (s *Store) alone(ctx context.Context, name string, do func(context.Context) error) error {
	conn, err := s.connect(ctx) // of the pool, one that waits would keep others from theirs
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx)) // and with it goes the lock
	if _, err := conn.Exec(ctx, `SELECT pg_advisory_lock(hashtextextended($1, 0))`, name); err != nil {
		return err
	}
	return do(ctx)
}
