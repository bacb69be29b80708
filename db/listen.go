package db

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// channel is what is notified of each change, with a Word as JSON.
const channel = "gaugerod_change"

// Word is what those who listen are told.
type Word struct {
	Job      scheduler.ID `json:"job"`
	Revision int64        `json:"revision"`
	Kind     WordKind     `json:"kind"`
	Plan     *PlanHead    `json:"plan,omitempty"` // of a plan
}

// WordKind is what there is to tell.
type WordKind string

// The kinds of words.
const (
	RevisionWord WordKind = "revision" // the job has a new revision
	PlanWord     WordKind = "plan"     // a plan of that revision has been kept
)

// How long Listen waits before it connects again, at first and at most, and how long
// it hears nothing before it asks whether the connection is still there.
const (
	firstPause = 100 * time.Millisecond
	lastPause  = 5 * time.Second
	silence    = 15 * time.Second
	pingLimit  = 5 * time.Second
)

// Listen calls heard with the revision of every job and the plans of that revision,
// at first and after each lost connection, when word may have been missed, and then
// with each change committed by anybody. It returns the error of ctx when that ends,
// and ErrUnavailable when the database could not be reached in the first place.
func (s *Store) Listen(ctx context.Context, heard func(Word)) error {
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
func (s *Store) listen(ctx context.Context, heard func(Word)) (bool, error) {
	conn, err := s.connect(ctx)
	if err != nil {
		return false, explain(err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	if _, err := conn.Exec(ctx, "LISTEN "+channel); err != nil {
		return false, explain(err)
	}
	words, err := s.everything(ctx)
	if err != nil {
		return false, err
	}
	for _, w := range words {
		heard(w)
	}
	for {
		n, err := nextNotification(ctx, conn)
		if err != nil {
			return true, explain(err)
		}
		var told Word
		if err := json.Unmarshal([]byte(n), &told); err != nil {
			return true, fmt.Errorf("word of a change that cannot be read: %w", err)
		}
		heard(told)
	}
}

// connect makes a connection of its own: one of the pool would be kept from it for good.
func (s *Store) connect(ctx context.Context) (*pgx.Conn, error) {
	return pgx.ConnectConfig(ctx, s.pool.Config().ConnConfig)
}

// nextNotification waits for one. A network that is cut says nothing of it: after
// some silence the other side is asked whether it is still there.
func nextNotification(ctx context.Context, conn *pgx.Conn) (string, error) {
	for {
		waiting, cancel := context.WithTimeout(ctx, silence)
		n, err := conn.WaitForNotification(waiting)
		cancel()
		if err == nil {
			return n.Payload, nil
		}
		if ctx.Err() != nil || !errors.Is(err, context.DeadlineExceeded) {
			return "", err
		}
		asking, cancel := context.WithTimeout(ctx, pingLimit)
		err = conn.Ping(asking)
		cancel()
		if err != nil {
			return "", err
		}
	}
}

// everything is the revisions of all jobs and the plans there are of them.
func (s *Store) everything(ctx context.Context) ([]Word, error) {
	heads, err := s.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	var words []Word
	for _, h := range heads {
		words = append(words, Word{Job: h.ID, Revision: h.Revision, Kind: RevisionWord})
	}
	rows, err := s.pool.Query(ctx, `
		SELECT json_build_object('job', p.job, 'revision', p.revision, 'kind', $1::text, 'plan',
			json_build_object('as_of', p.as_of_day, 'take', p.take, 'finish', p.finish, 'proven', p.proven))
		FROM plan p JOIN job j ON j.id = p.job AND j.revision = p.revision ORDER BY p.job, p.as_of_day`, string(PlanWord))
	if err != nil {
		return nil, explain(err)
	}
	plans, err := pgx.CollectRows(rows, pgx.RowTo[Word])
	if err != nil {
		return nil, explain(err)
	}
	return append(words, plans...), nil
}
