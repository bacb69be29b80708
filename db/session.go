package db

import (
	"context"
	"errors"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// Session is one device that is signed in.
type Session struct {
	ID     uuid.UUID
	Device string // in few plain words
	Made   time.Time
	Seen   time.Time // give or take some minutes
	Until  time.Time
}

// Asker is who a token belongs to, and what they are on the job asked about.
type Asker struct {
	Session uuid.UUID
	Seen    time.Time
	Until   time.Time

	Account uuid.UUID // zero: a trade's link
	Name    string    // of the account, or the link's label
	Steward bool
	Role    scheduler.Role // empty: no seat on that job
	Person  scheduler.ID

	Link       uuid.UUID // zero: an account
	Job, Trade scheduler.ID
}

// selectAsker is all that a request needs to know of who asks, in one round trip.
// Whatever ended, lapsed, was revoked or closed is not there, from that moment on.
const selectAsker = `
	SELECT s.id, s.seen_at, s.expires_at,
		coalesce(s.account, $4), coalesce(a.name, l.label), coalesce(a.steward, false),
		coalesce(seat.role, ''), coalesce(seat.person, ''),
		coalesce(s.trade_link, $4), coalesce(l.job, ''), coalesce(l.trade, '')
	FROM session s
	LEFT JOIN account a ON a.id = s.account AND a.closed_at IS NULL
	LEFT JOIN seat ON seat.account = a.id AND seat.job = $3
	LEFT JOIN trade_link l ON l.id = s.trade_link AND l.revoked_at IS NULL AND l.expires_at > $2
	WHERE s.token = $1 AND s.ended_at IS NULL AND s.expires_at > $2 AND num_nonnulls(a.id, l.id) = 1`

// Asker is who a token belongs to; scheduler.ErrNotFound when it opens nothing. The
// job may be empty.
func (s *Store) Asker(ctx context.Context, token Hash, job scheduler.ID) (Asker, error) {
	rows, err := s.pool.Query(ctx, selectAsker, token.bytes(), s.now().UTC(), string(job), uuid.UUID{})
	if err != nil {
		return Asker{}, explain(err)
	}
	a, err := pgx.CollectExactlyOneRow(rows, pgx.RowToStructByPos[Asker])
	if errors.Is(err, pgx.ErrNoRows) {
		return Asker{}, scheduler.ErrNotFound
	}
	return a, explain(err)
}

// Seen notes that a session, and its trade's link, are in use.
func (s *Store) Seen(ctx context.Context, session uuid.UUID) error {
	_, err := s.pool.Exec(ctx, `
		WITH seen AS (UPDATE session SET seen_at = $2 WHERE id = $1 AND seen_at < $2 RETURNING trade_link)
		UPDATE trade_link SET used_at = $2 FROM seen WHERE trade_link.id = seen.trade_link`, session, s.now().UTC())
	return explain(err)
}

// EndSession ends the session of a token, if there is one.
func (s *Store) EndSession(ctx context.Context, token Hash) error {
	_, err := s.pool.Exec(ctx, `UPDATE session SET ended_at = $2 WHERE token = $1 AND ended_at IS NULL`, token.bytes(), s.now().UTC())
	return explain(err)
}

// EndSessionByID ends a session, whosever it is, if it is open.
func (s *Store) EndSessionByID(ctx context.Context, session uuid.UUID) error {
	_, err := s.pool.Exec(ctx, `UPDATE session SET ended_at = $2 WHERE id = $1 AND ended_at IS NULL`, session, s.now().UTC())
	return explain(err)
}

// EndSessionOf ends one session of an account; scheduler.ErrNotFound when it has no such one.
func (s *Store) EndSessionOf(ctx context.Context, account, session uuid.UUID) error {
	return s.touchOne(ctx, endSessions+` AND id = $3`, account, s.now().UTC(), session)
}

// EndOtherSessions ends all sessions of an account but one.
func (s *Store) EndOtherSessions(ctx context.Context, account, but uuid.UUID) error {
	_, err := s.pool.Exec(ctx, endSessions+` AND id <> $3`, account, s.now().UTC(), but)
	return explain(err)
}

// Sessions lists the open sessions of an account, the last used first.
func (s *Store) Sessions(ctx context.Context, account uuid.UUID) ([]Session, error) {
	rows, err := s.pool.Query(ctx, `SELECT id, device, made_at, seen_at, expires_at FROM session
		WHERE account = $1 AND ended_at IS NULL AND expires_at > $2
		ORDER BY seen_at DESC, made_at DESC, id`, account, s.now().UTC())
	if err != nil {
		return nil, explain(err)
	}
	sessions, err := pgx.CollectRows(rows, pgx.RowToStructByPos[Session])
	return sessions, explain(err)
}

// OpenSession opens a session of an account for as long as life.
func (s *Store) OpenSession(ctx context.Context, account uuid.UUID, token Hash, device string, life time.Duration) error {
	return s.sweeping(ctx, func(tx pgx.Tx, now time.Time) error {
		return openSession(ctx, tx, account, token, device, now, now.Add(life))
	})
}

func openSession(ctx context.Context, tx pgx.Tx, account uuid.UUID, token Hash, device string, now, until time.Time) error {
	_, err := tx.Exec(ctx, `INSERT INTO session (token, id, account, device, made_at, seen_at, expires_at) VALUES ($1, $2, $3, $4, $5, $5, $6)`,
		token.bytes(), uuid.New(), account, device, now, until)
	return err
}

// sweeping opens something and, on that occasion, clears away what has long lapsed.
func (s *Store) sweeping(ctx context.Context, open func(pgx.Tx, time.Time) error) error {
	now := s.now().UTC()
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if err := open(tx, now); err != nil {
			return err
		}
		batch := &pgx.Batch{}
		batch.Queue(`DELETE FROM session WHERE least(expires_at, ended_at) < $1`, now.Add(-keepLapsed))
		batch.Queue(`DELETE FROM sign_in_link WHERE least(expires_at, spent_at) < $1`, now.Add(-keepLapsed))
		return tx.SendBatch(ctx, batch).Close()
	})
	return explain(err)
}

// keepLapsed is how long what has lapsed is kept, to be looked into when somebody
// asks who came in.
const keepLapsed = 30 * 24 * time.Hour
