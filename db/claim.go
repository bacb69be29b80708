package db

import (
	"context"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
)

// claims are the locks that this process holds in the database. All of them are held
// by one connection beside the pool, so that however much is being planned, nobody
// else waits for a connection. When the process dies, Postgres sees the connection
// end and lets go of them at once.
type claims struct {
	mu   sync.Mutex
	conn *pgx.Conn
	held map[string]bool
}

// claimLimit is how long the database may take over a lock.
const claimLimit = 10 * time.Second

// keepAlive has Postgres notice within some 15 s that a machine it was connected with
// is gone. It means nothing to connections on one machine.
const keepAlive = `SET tcp_keepalives_idle = 5; SET tcp_keepalives_interval = 3; SET tcp_keepalives_count = 3`

// Claim is what came of claiming a plan.
type Claim struct {
	Mine    bool   // nobody else makes it until it is released
	Kept    bool   // one was kept already a moment ago
	Release func() // gives it up; nil where it is not mine
}

// Claim takes the sole right, over all processes, to make the plan of something, if
// nobody has it. It is lost when the connection is: then two may make the same plan, of
// which one is kept.
func (s *Store) Claim(ctx context.Context, of PlanOf) (claim Claim, err error) {
	c := &s.claims
	c.mu.Lock()
	defer c.mu.Unlock()
	key := "gaugerod plan " + of.String()
	if c.held[key] {
		return Claim{}, nil // one session may take a lock twice
	}
	// A query that is broken off takes the connection with it, and all locks.
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), claimLimit)
	defer cancel()
	if c.conn == nil || c.conn.IsClosed() {
		if err := c.connect(ctx, s); err != nil {
			return Claim{}, explain(err)
		}
	}
	conn := c.conn
	if err := conn.QueryRow(ctx, takeClaim, key, string(of.Job), of.Revision, of.AsOf.String()).Scan(&claim.Mine, &claim.Kept); err != nil {
		c.drop(ctx)
		return Claim{}, explain(err)
	}
	if claim.Mine {
		c.held[key] = true
		claim.Release = func() { c.release(ctx, conn, key) }
	}
	return claim, nil
}

const takeClaim = `
	SELECT pg_try_advisory_lock(hashtextextended($1, 0)),
		EXISTS (SELECT FROM plan WHERE job = $2 AND revision = $3 AND as_of_day = $4::text::date)`

func (c *claims) connect(ctx context.Context, s *Store) (err error) {
	if c.conn, err = s.connect(ctx); err != nil {
		return err
	}
	c.held = map[string]bool{}
	if _, err := c.conn.Exec(ctx, keepAlive); err != nil {
		c.drop(ctx)
		return err
	}
	return nil
}

// release unlocks what was locked over a connection, if that is still the one.
func (c *claims) release(ctx context.Context, over *pgx.Conn, key string) {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), claimLimit)
	defer cancel()
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.conn != over {
		return
	}
	delete(c.held, key)
	if _, err := over.Exec(ctx, `SELECT pg_advisory_unlock(hashtextextended($1, 0))`, key); err != nil {
		c.drop(ctx) // and with the connection go its locks
	}
}

func (c *claims) drop(ctx context.Context) {
	if c.conn != nil {
		_ = c.conn.Close(ctx) // lost or not, it is given up
	}
	c.conn, c.held = nil, nil
}

func (c *claims) close() {
	ctx, cancel := context.WithTimeout(context.Background(), claimLimit)
	defer cancel()
	c.mu.Lock()
	defer c.mu.Unlock()
	c.drop(ctx)
}
