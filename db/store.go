package db

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"
)

// Store keeps jobs in one Postgres database. It is safe for use by many at once.
type Store struct {
	pool *pgxpool.Pool
	now  func() time.Time
	held held

	claims  claims
	readers together[reading, reader]
}

// usualConns is how many connections there are at most unless the address says it with
// pool_max_conns. A change holds one from its first question to its last, whatever else
// the processor does meanwhile; those who read should not wait for that.
const usualConns = 24

// Open connects to a database. The address is what libpq takes: a URL or words
// like "host=/run/postgresql dbname=gaugerod". Every timestamp comes from now.
func Open(ctx context.Context, address string, now func() time.Time) (*Store, error) {
	config, err := pgxpool.ParseConfig(address)
	if err != nil {
		return nil, fmt.Errorf("the address of the database cannot be read: %w", err)
	}
	config.ConnConfig.RuntimeParams["timezone"] = "UTC"
	if config.ConnConfig.RuntimeParams["application_name"] == "" {
		config.ConnConfig.RuntimeParams["application_name"] = "gaugerod"
	}
	config.ConnConfig.Tracer = tracer{}
	if !strings.Contains(address, "pool_max_conns") {
		config.MaxConns = max(config.MaxConns, usualConns)
	}
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, explain(err)
	}
	s := &Store{pool: pool, now: now, held: held{most: mostHeldRows}}
	s.readers.ask = s.askReaders
	if err := s.Ping(ctx); err != nil {
		pool.Close()
		return nil, err
	}
	return s, nil
}

// Close gives the connections back.
func (s *Store) Close() {
	s.claims.close()
	s.pool.Close()
}

// Ping says whether the database answers.
func (s *Store) Ping(ctx context.Context) error { return explain(s.pool.Ping(ctx)) }
