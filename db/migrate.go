package db

import (
	"context"
	"embed"
	"fmt"
	"io/fs"

	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
)

// Migrations are numbered and never edited once landed.
//
//go:embed migrations/*.sql
var migrations embed.FS

// migrationTable is where goose notes what has been done.
const migrationTable = "migration"

// Migrate brings the schema up to date. Any number may call it at once: one does
// the work, the others wait.
func (s *Store) Migrate(ctx context.Context) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	locker, err := lock.NewPostgresSessionLocker()
	if err != nil {
		return err
	}
	sql := stdlib.OpenDBFromPool(s.pool)
	defer sql.Close()
	provider, err := goose.NewProvider(goose.DialectPostgres, sql, files,
		goose.WithSessionLocker(locker), goose.WithTableName(migrationTable),
		goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return err
	}
	if _, err := provider.Up(ctx); err != nil {
		return fmt.Errorf("bring the schema up to date: %w", explain(err))
	}
	return nil
}
