package db

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// How long Listen waits before it connects again, at first and at most.
const (
	firstPause = 100 * time.Millisecond
	lastPause  = 5 * time.Second
)

// Listen calls heard with the revision of every job at first and after each lost
// connection, when word may have been missed, and then with each change committed
// by anybody. It returns the error of ctx when that ends, and ErrUnavailable when
// the database could not be reached in the first place.
func (s *Store) Listen(ctx context.Context, heard func(id scheduler.ID, revision int64)) error {
	began := false
	pause := firstPause
	for {
		listening, err := s.listen(ctx, heard)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if began = began || listening; !began {
			return err
		}
		if listening {
			pause = firstPause
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(pause):
		}
		pause = min(2*pause, lastPause)
	}
}

// listen does so over one connection until that is lost. It says whether it ever
// came to listening.
func (s *Store) listen(ctx context.Context, heard func(scheduler.ID, int64)) (bool, error) {
	// A connection of its own: one of the pool would be kept from it for good.
	conn, err := pgx.ConnectConfig(ctx, s.pool.Config().ConnConfig)
	if err != nil {
		return false, explain(err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	if _, err := conn.Exec(ctx, "LISTEN "+channel); err != nil {
		return false, explain(err)
	}
	heads, err := s.Jobs(ctx)
	if err != nil {
		return false, err
	}
	for _, h := range heads {
		heard(h.ID, h.Revision)
	}
	for {
		n, err := conn.WaitForNotification(ctx)
		if err != nil {
			return true, explain(err)
		}
		var told notice
		if err := json.Unmarshal([]byte(n.Payload), &told); err != nil {
			return true, fmt.Errorf("word of a change that cannot be read: %w", err)
		}
		heard(told.Job, told.Revision)
	}
}
